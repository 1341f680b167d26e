import { spawnSync } from 'node:child_process'
import { existsSync } from 'node:fs'
import { createRequire } from 'node:module'
import { join } from 'node:path'
import { chromium } from 'playwright-core'

/** Where systems keep a Chromium, most particular first. */
function candidates(): string[] {
  const named = process.env.CHROMIUM
  const onPath = (process.env.PATH ?? '')
    .split(process.platform === 'win32' ? ';' : ':')
    .flatMap((folder) => ['chromium', 'chromium-browser', 'google-chrome'].map((name) => join(folder, name)))
  return [...(named === undefined ? [] : [named]), ...onPath, chromium.executablePath()]
}

/** A Chromium that is on this machine already; null where there is none. */
function findChromium(): string | null {
  return candidates().find((path) => path !== '' && existsSync(path)) ?? null
}

/**
 * A Chromium to test with: one that is there, or one that is installed now, saying so.
 *
 * @throws Error telling what to do where neither way works
 */
export function ensureChromium(say: (text: string) => void): string {
  const found = findChromium()
  if (found !== null) {
    say(`Browser tests use ${found}`)
    return found
  }
  const installers: [string, string, string[]][] = [
    ["playwright's installer", process.execPath, [playwrightCommand(), 'install', 'chromium']],
    ['apt-get', 'apt-get', ['update']],
    ['apt-get', 'apt-get', ['install', '--yes', '--no-install-recommends', 'chromium']],
  ]
  for (const [name, command, args] of installers) {
    say(`No Chromium found; trying ${name}: ${args.slice(-2).join(' ')}`)
    spawnSync(command, args, { stdio: 'inherit', timeout: 300_000 })
    const installed = findChromium()
    if (installed !== null) return installed
  }
  throw new Error(
    'No Chromium could be found or installed. Install one, or name it in the environment variable CHROMIUM.',
  )
}

function playwrightCommand(): string {
  const require = createRequire(import.meta.url)
  return join(require.resolve('playwright-core/package.json'), '..', 'cli.js')
}

/** Switches that let Chromium run without a screen, a sandbox of its own, or calls to the outside. */
export const CHROMIUM_SWITCHES = [
  '--headless',
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
]
