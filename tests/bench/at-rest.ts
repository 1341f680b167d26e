import { execFileSync, spawn } from 'node:child_process'
import { once } from 'node:events'
import { setTimeout } from 'node:timers/promises'
import { fileURLToPath } from 'node:url'
import { printedAddress } from '../browser/program.ts'

const root = fileURLToPath(new URL('../..', import.meta.url))

/** Seconds without a request after which a server counts as at rest. */
const REST = 10

/**
 * Memory of the built program with a data folder of its own, once it has answered an overview and a chart and then been
 * left alone, in bytes: resident, shared libraries included.
 *
 * @param folder data folder, which holds a filled database
 */
export async function memoryAtRest(folder: string): Promise<number> {
  const server = spawn(process.execPath, ['dist/node/server/main.js', '--data', folder, '--port', '0'], {
    cwd: root,
    stdio: ['ignore', 'pipe', 'inherit'],
    env: { ...process.env, AS_SINTERED_LOG_LEVEL: 'error' },
  })
  const ended = once(server, 'exit')
  try {
    const url = await printedAddress(server)
    for (const what of ['drift', 'characteristics/1/chart']) {
      const answer = await fetch(`${url}/api/part-numbers/HB-204/C/${what}?stage=sintered`)
      if (answer.status !== 200) throw new Error(`${what} answers ${answer.status}`)
      await answer.arrayBuffer()
    }
    await setTimeout(REST * 1000)
    const kibibytes = execFileSync('ps', ['-o', 'rss=', '-p', String(server.pid)], { encoding: 'utf8' })
    return Number(kibibytes) * 1024
  } finally {
    server.kill('SIGTERM')
    await ended
  }
}
