/**
 * Taking in a large file of measurements, with all checks and the commit, beside DuckDB loading the same file into a
 * table of its own, in one run:
 *
 *     npx tsx tests/bench/intake.ts [rows] [rounds] [rows of a large file]
 *
 * and the same file into PostgreSQL. The program is the compiled one, in a process of its own (`npm run build` first).
 *
 * The file is made up: builds of 48 parts with 16 characteristics each, part after part. 1 000 000 rows and three rounds
 * unless said otherwise; each round takes the file into an empty shop, then has DuckDB load it with one thread and with
 * two. While it is taken in, and after, charts are asked for. A large file, if wanted, is taken into SQLite once.
 *
 * Where the machine has other work, the processor time says more than the clock.
 */
import { mkdtempSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { startPostgres } from '../tools/postgres.ts'
import { CHARACTERISTICS, PARTS, writeMeasurements } from './measurement-file.ts'
import { type BenchRow, median, row, runAlone } from './rows.ts'
import { type WatchedImport, watchImport } from './watched-import.ts'

await runAlone(import.meta.url, ([rows, rounds, large]) =>
  intakeBench(Number(rows ?? 1e6), Number(rounds ?? 3), Number(large ?? 0)),
)

/** Clock and processor time, in seconds. */
interface Times {
  readonly seconds: number
  readonly processor: number | null
}

export async function intakeBench(rows: number, rounds: number, large: number): Promise<BenchRow[]> {
  const folder = mkdtempSync(join(tmpdir(), 'as-sintered-bench-'))
  const postgres = await startPostgres({ shared_buffers: '256MB', max_wal_size: '4GB' })
  try {
    const path = join(folder, 'measurements.csv')
    const before = join(folder, 'before.csv')
    writeMeasurements(path, rows, 0)
    // A record to chart meanwhile: sixty builds of the same part number.
    writeMeasurements(before, 60 * PARTS * CHARACTERISTICS, 5_000_000)
    const shop = join(folder, 'shop')
    const sqlite: WatchedImport[] = []
    const server: WatchedImport[] = []
    const [one, two]: [Times[], Times[]] = [[], []]
    for (let round = 0; round < rounds; round++) {
      sqlite.push(await watchImport(shop, null, before, path, rows))
      one.push(await loadWithDuck(join(folder, 'one.db'), path, 1))
      two.push(await loadWithDuck(join(folder, 'two.db'), path, 2))
      server.push(await watchImport(shop, await postgres.createDatabase(), before, path, rows))
    }
    const what = `intake of ${rowsInWords(rows, path)}`
    const bench = [
      ...timeRows(`${what}, SQLite, beside one thread`, sqlite, 'DuckDB, 1 thread', one),
      ...timeRows(`${what}, SQLite, beside two threads`, sqlite, 'DuckDB, 2 threads', two),
      ...timeRows(`${what}, PostgreSQL, its own processes not counted`, server, 'SQLite', sqlite),
      row('rows a second, SQLite', rows / median(sqlite.map(({ seconds }) => seconds)), '1/s'),
      row('rows a second, PostgreSQL', rows / median(server.map(({ seconds }) => seconds)), '1/s'),
      ...watchRows(`${what}, SQLite`, sqlite),
      ...watchRows(`${what}, PostgreSQL`, server),
    ]
    if (large <= rows) return bench
    writeMeasurements(path, large, 0)
    const taken = [await watchImport(shop, null, before, path, large)]
    const loaded = [await loadWithDuck(join(folder, 'two.db'), path, 2)]
    const whatLarge = `intake of ${rowsInWords(large, path)}, SQLite`
    return [
      ...bench,
      ...timeRows(whatLarge, taken, 'DuckDB, 2 threads', loaded),
      ...watchRows(whatLarge, taken),
    ]
  } finally {
    await postgres.stop()
    rmSync(folder, { recursive: true, force: true })
  }
}

function rowsInWords(rows: number, path: string): string {
  return `${rows.toLocaleString('en')} rows, ${(statSync(path).size / 1e6).toFixed(0)} MB`
}

function timeRows(name: string, own: readonly Times[], what: string, other: readonly Times[]): BenchRow[] {
  const clock = (times: readonly Times[]) => median(times.map(({ seconds }) => seconds))
  const work = (times: readonly Times[]) => median(times.map(({ processor }) => processor ?? Number.NaN))
  return [
    row(name, clock(own), 's', { what, measured: clock(other) }),
    ...(own.some(({ processor }) => processor === null)
      ? []
      : [row(`${name}, processor time`, work(own), 's', { what, measured: work(other) })]),
  ]
}

function watchRows(name: string, imports: readonly WatchedImport[]): BenchRow[] {
  const most = (of: (one: WatchedImport) => readonly number[]) => Math.max(0, ...imports.flatMap(of))
  const memory = imports.flatMap(({ memory }) => memory ?? [])
  return [
    ...(memory.length === 0
      ? []
      : [
          row(
            `${name}: greatest memory of the program, charts after it included`,
            Math.max(...memory) / 1e6,
            'MB',
          ),
        ]),
    row(
      `${name}: slowest chart until the commit`,
      most((one) => one.chartsMeanwhile),
      'ms',
    ),
    row(
      `${name}: slowest chart from then on`,
      most((one) => one.chartsAfter),
      'ms',
    ),
    row(`${name}: median chart from then on`, median(imports.flatMap((one) => one.chartsAfter)), 'ms'),
    row(
      `${name}: longest wait for a notice of progress`,
      most((one) => [one.progressGap]),
      'ms',
    ),
  ]
}

async function loadWithDuck(database: string, path: string, threads: number): Promise<Times> {
  const { DuckDBInstance } = await import('@duckdb/node-api')
  const instance = await DuckDBInstance.create(database, { threads: String(threads) })
  const connection = await instance.connect()
  const [begun, before] = [performance.now(), process.cpuUsage()]
  await connection.run(`create table measurement as select * from read_csv('${path}')`)
  const seconds = (performance.now() - begun) / 1000
  const { user, system } = process.cpuUsage(before)
  connection.closeSync()
  instance.closeSync()
  rmSync(database, { force: true })
  return { seconds, processor: (user + system) / 1e6 }
}
