import { type ChildProcess, spawn, spawnSync } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { type Browser, chromium, type Page } from 'playwright-core'
import { CHROMIUM_SWITCHES, ensureChromium } from '../tools/chromium.ts'
import { holdBackAnswers } from './slow-answers.ts'

const root = fileURLToPath(new URL('../..', import.meta.url))

/** The built program as a user starts it, with a data folder of its own, and a browser beside it. */
export interface Program {
  readonly url: string
  readonly browser: Browser
  /** A new page at an address; errors of the page are kept in `errors`. */
  open(path: string, size?: { width: number; height: number }, scheme?: 'light' | 'dark'): Promise<Page>
  readonly errors: readonly string[]
  stop(): Promise<void>
}

/**
 * @param administrator name and password of one who is put on record before the program starts
 */
export async function startProgram({
  sample,
  administrator,
}: {
  readonly sample: boolean
  readonly administrator?: { readonly name: string; readonly password: string }
}): Promise<Program> {
  const folder = mkdtempSync(join(tmpdir(), 'as-sintered-browser-'))
  if (administrator !== undefined) putOnRecord(folder, administrator)
  const args = ['dist/node/server/main.js', '--data', folder, '--port', '0', ...(sample ? ['--sample'] : [])]
  const server = spawn(process.execPath, args, {
    cwd: root,
    stdio: ['ignore', 'pipe', 'inherit'],
    env: { ...process.env, AS_SINTERED_LOG_LEVEL: 'error' },
  })
  const listening = await printedAddress(server)
  const delay = Number(process.env.SLOW_ANSWERS ?? 0)
  const slow = delay > 0 ? await holdBackAnswers(listening, delay) : null
  const url = slow?.url ?? listening
  const browser = await chromium.launch({ executablePath: ensureChromium(() => {}), args: CHROMIUM_SWITCHES })
  const errors: string[] = []
  return {
    url,
    browser,
    errors,
    async open(path, size = { width: 1440, height: 1000 }, scheme = 'light') {
      const page = await browser.newPage({ viewport: size, colorScheme: scheme })
      page.on('pageerror', (error) => errors.push(error.message))
      page.on('console', (message) => {
        if (message.type() === 'error') errors.push(message.text())
      })
      await page.goto(url + path)
      return page
    },
    async stop() {
      await browser.close()
      slow?.close()
      const ended = new Promise((resolve) => server.once('exit', resolve))
      server.kill('SIGTERM')
      await ended
      rmSync(folder, { recursive: true, force: true })
    },
  }
}

function putOnRecord(folder: string, { name, password }: { name: string; password: string }): void {
  const { status, stderr } = spawnSync(
    process.execPath,
    ['dist/node/server/main.js', 'person', 'add', name, '--role', 'administrator', '--data', folder],
    { cwd: root, input: `${password}\n`, encoding: 'utf8' },
  )
  if (status !== 0) throw new Error(stderr)
}

/** The address that the server prints once it listens. */
export function printedAddress(server: ChildProcess): Promise<string> {
  return new Promise((resolve, reject) => {
    let printed = ''
    server.stdout?.on('data', (chunk: Buffer) => {
      printed += chunk.toString()
      const found = /http:\/\/[^\s/]+/.exec(printed)
      if (found !== null) resolve(found[0])
    })
    server.once('exit', (code) => reject(new Error(`the server ended with ${code}: ${printed}`)))
  })
}
