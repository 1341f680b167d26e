import { attack, startAttackedServer } from '../tools/attacked-server.ts'

/**
 * Sends malformed requests to a server in this process, and says what came of them: no answer of 500 or above but 503, no
 * crash, memory flat. Started with --expose-gc.
 *
 * Arguments: how many (10 000 unless said otherwise), and the seed.
 */
const count = Number(process.argv[2] ?? 10_000)
const seed = Number(process.argv[3] ?? 1)
/** Growth of the heap from a fifth of the way to the end that counts as flat, in MiB. */
const FLAT = 16

const heap = () => {
  globalThis.gc?.()
  return process.memoryUsage().heapUsed / 1024 ** 2
}

const server = await startAttackedServer()
let settled = Number.NaN
const { statuses, failures } = await attack(server, count, seed, (through) => {
  if (through === Math.round(count / 500) * 100) settled = heap()
})
const alive = (await fetch(`${server.url}/api/health`)).status === 200
const growth = heap() - settled
for (const [status, times] of [...statuses].sort(([a], [b]) => (a ?? 0) - (b ?? 0))) {
  console.log(`${status ?? 'closed'}\t${times}`)
}
console.log(`heap after a fifth ${settled.toFixed(1)} MiB, growth since ${growth.toFixed(1)} MiB`)
for (const failure of failures.slice(0, 10)) console.log(failure)
await server.stop()
const holds = failures.length === 0 && alive && !(growth > FLAT)
console.log(holds ? `${count} malformed requests: none did harm` : 'the server did not hold')
process.exit(holds ? 0 : 1)
