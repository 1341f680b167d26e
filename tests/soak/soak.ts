/**
 * What a shop's years do to the program, in half an hour, on the built program:
 *
 *     npm run soak -- [--kills 300] [--clients 64] [--seconds 300] [--imports 0.02] [--pause 0] [--seed 1] [--out FILE]
 *
 * Kills it at random moments while it takes files in, decides and brings databases up; then has many clients at once ask
 * for charts and bring files. Prints a table and writes the figures as JSON; ends with status 1 where anything was lost
 * or answered with an error. The time of charts is reported beside its target and fails nothing: it is the machine's.
 */
import { spawn } from 'node:child_process'
import { once } from 'node:events'
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { connect } from 'node:net'
import { availableParallelism, loadavg, tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { parseArgs } from 'node:util'
import { openStore } from '../../server/store/store.ts'
import { killCampaign } from './kill-campaign.ts'
import { load } from './load.ts'
import { addressOf } from './running-program.ts'

/** Seconds within which half a heading is given up: 15, looked at every 5, and the wait of a busy machine. */
const SLOW_HEADING = 30

/** Milliseconds within which 95 of 100 charts are to be answered. */
const CHART_TARGET = 150

const { values } = parseArgs({
  options: {
    kills: { type: 'string', default: '300' },
    clients: { type: 'string', default: '64' },
    seconds: { type: 'string', default: '300' },
    imports: { type: 'string', default: '0.02' },
    pause: { type: 'string', default: '0' },
    seed: { type: 'string', default: '1' },
    out: { type: 'string', default: 'tests/soak/output/soak.json' },
  },
})
const program = [process.execPath, 'dist/node/server/main.js']
const folder = mkdtempSync(join(tmpdir(), 'as-sintered-soak-'))
const seed = Number(values.seed)
const begun = performance.now()
const loadBefore = loadavg()[0] ?? 0
try {
  const kills = await killCampaign({
    folder,
    kills: Number(values.kills),
    seed,
    longest: 2500,
    program,
    onKill: ({ kills: done, faults }) => {
      if (done % 20 === 0) console.error(`${done} kills, ${faults.length} faults …`)
    },
  })
  const killSeconds = (performance.now() - begun) / 1000
  const clients = await loadRun()
  const result = {
    at: new Date().toISOString(),
    cores: availableParallelism(),
    loadBefore,
    seed,
    kills: { ...kills, seconds: killSeconds },
    clients,
  }
  mkdirSync(dirname(values.out), { recursive: true })
  writeFileSync(values.out, `${JSON.stringify(result, null, 2)}\n`)
  const { charts } = clients
  console.table({
    kills: kills.kills,
    'during imports': kills.duringImports,
    'during decisions': kills.duringDecisions,
    'during the copy before a migration': kills.migrations.copy,
    'during migrations': kills.migrations.migration,
    'just after migrations': kills.migrations.afterwards,
    'rows answered as taken': kills.rowsDone,
    'decisions answered as kept': Object.values(kills.decisionsDone).reduce((sum, count) => sum + count, 0),
    'faults after kills': kills.faults.length,
    'seconds for the kills': Math.round(killSeconds),
    'clients at once': clients.clients,
    'seconds of clients': clients.seconds,
    'pause between requests, ms': clients.pause,
    requests: clients.requests,
    'imports meanwhile': clients.importsDone,
    'errors of clients': clients.errors.length,
    'rows lost': clients.rowsLost,
    'half a heading, closed after, s': clients.slowHeadingClosedAfter?.toFixed(0) ?? 'not yet',
    'faults of the record': clients.recordFaults.length,
    'charts asked for': charts.count,
    'chart, median, ms': Math.round(charts.median),
    'chart, 95th percentile, ms': Math.round(charts.p95),
    'its target, ms': CHART_TARGET,
    'load of the machine before': loadBefore,
  })
  console.table(
    Object.fromEntries(
      Object.entries(kills.decisionsDone).map(([name, kept]) => [
        name,
        { 'answered as kept': kept, 'under way at a kill': kills.decisionsKilled[name] },
      ]),
    ),
  )
  for (const fault of [...kills.faults, ...clients.errors, ...clients.recordFaults].slice(0, 20))
    console.error(fault)
  const keptOpen = clients.slowHeadingClosedAfter === null && clients.seconds > SLOW_HEADING
  if (keptOpen) console.error('A connection with half a heading was kept open.')
  const failed =
    Number(keptOpen) +
    kills.faults.length +
    clients.errors.length +
    clients.recordFaults.length +
    Math.abs(clients.rowsLost)
  process.exitCode = failed === 0 ? 0 : 1
} finally {
  rmSync(folder, { recursive: true, force: true })
}

async function loadRun() {
  const data = join(folder, 'clients')
  const server = spawn(
    program[0] as string,
    [...program.slice(1), '--sample', '--data', data, '--port', '0'],
    {
      stdio: ['ignore', 'pipe', 'inherit'],
      env: { ...process.env, AS_SINTERED_LOG_LEVEL: 'error' },
    },
  )
  const exit = once(server, 'exit')
  try {
    const url = await addressOf(server)
    const before = await measured(url)
    const [clients, seconds, pause] = [values.clients, values.seconds, values.pause].map(Number) as [
      number,
      number,
      number,
    ]
    // One that sends half a heading and then nothing has its connection closed meanwhile.
    const slow = slowHeading(url)
    const result = await load({ url, clients, seconds, imports: Number(values.imports), seed, pause })
    const after = await measured(url)
    server.kill('SIGTERM')
    await exit
    const store = await openStore({ file: join(data, 'as-sintered.sqlite') })
    const { faults } = await store.verifyRecord({ filesFolder: join(data, 'files') })
    await store.close()
    return {
      clients,
      seconds,
      pause,
      ...result,
      slowHeadingClosedAfter: slow.seconds(),
      /** Negative where rows are there that nobody was answered for. */
      rowsLost: before + result.rowsDone - after,
      recordFaults: faults.map(({ what }) => what),
    }
  } finally {
    server.kill('SIGKILL')
  }
}

/** Opens a connection that never sends all of its heading. */
function slowHeading(url: string) {
  const { hostname, port } = new URL(url)
  const begun = performance.now()
  let closed: number | null = null
  const socket = connect(Number(port), hostname, () =>
    socket.write('GET /api/health HTTP/1.1\r\nHost: localhost\r\nX-Slow: '),
  )
  socket.on('close', () => {
    closed ??= (performance.now() - begun) / 1000
  })
  socket.on('error', () => undefined)
  socket.resume()
  return {
    /** Until it was closed; null where it never was. */
    seconds(): number | null {
      const found = closed
      socket.destroy()
      return found
    },
  }
}

async function measured(url: string): Promise<number> {
  const shop = (await (await fetch(`${url}/api/shop`)).json()) as { partNumbers: { measurements: number }[] }
  return shop.partNumbers.reduce((sum, { measurements }) => sum + measurements, 0)
}
