/**
 * How the cost of the overview and of a chart grows with the measurements on record and with the builds:
 *
 *     npx tsx tests/bench/scale.ts [greatest number of measurements on SQLite] [on PostgreSQL]
 *
 * Times are medians of nine, by the clock and in rows of their own the processor time of the process, which other work on the
 * machine disturbs less; that of PostgreSQL's own processes is not in it. The first is that after a commit, when nothing
 * that was computed is kept any more, the second that of asking again. Databases are filled through the store's writer, without files. 10 000 000 and 1 000 000 unless said otherwise.
 */
import { mkdtempSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { StoreLocation } from '../../server/store/location.ts'
import { openStore, type Store } from '../../server/store/store.ts'
import { chartView, driftView } from '../../server/views/drift-view.ts'
import { countBounds, quantileBounds } from '../../src/description/bucket-counts.ts'
import { quantiles } from '../../src/description/quantiles.ts'
import { startPostgres } from '../tools/postgres.ts'
import { unrecorded } from '../tools/unrecorded.ts'
import { fillShop } from './fill-shop.ts'
import { type BenchRow, median, row, runAlone } from './rows.ts'

const CHARACTERISTICS = 40
const BUILDS = 2000
const REPEATS = 9

await runAlone(import.meta.url, ([onSqlite, onPostgres]) =>
  scaleBench(Number(onSqlite ?? 1e7), Number(onPostgres ?? 1e6)),
)

async function measure(
  location: StoreLocation,
  measurements: number,
  builds: number,
  size: () => Promise<number>,
  settle: () => Promise<void>,
) {
  const filling = await openStore(location)
  const begun = performance.now()
  await fillShop(filling, { measurements, builds, characteristics: CHARACTERISTICS })
  const seconds = (performance.now() - begun) / 1000
  await filling.close()
  await settle()
  const store = await openStore(location)
  const [partNumber] = await store.partNumbers()
  if (partNumber === undefined) throw new Error('nothing was filled in')
  const characteristics = await store.characteristics(partNumber.id)
  const overview = await timesOf(store, () => driftView(store, partNumber, 'sintered'))
  const [characteristic] = characteristics
  if (characteristic === undefined) throw new Error('no characteristics')
  const chart = await timesOf(store, () => chartView(store, partNumber, characteristic, 'sintered'))
  global.gc?.()
  const memory = process.memoryUsage().rss / 2 ** 20
  await store.close()
  const rate = measurements / seconds
  return { overview, chart, memory, rate, bytes: (await size()) / measurements }
}

type Measured = Awaited<ReturnType<typeof measure>>

/** Medians, in milliseconds. */
interface Times {
  readonly clock: number
  /** Processor time of this process, which other work on the machine disturbs less. */
  readonly work: number
}

/** Times of a view: after something was committed, and again without. */
async function timesOf(store: Store, view: () => Promise<unknown>) {
  const [first, again]: [Times[], Times[]] = [[], []]
  await view()
  for (let i = 0; i < REPEATS; i++) {
    await unrecorded(store).write((writer) =>
      writer.put('gauge', [{ id: 99, name: `CMM-99, calibrated ${i} times` }]),
    )
    first.push(await timeOf(view))
    again.push(await timeOf(view))
  }
  return { first: medians(first), again: medians(again) }
}

async function timeOf(view: () => Promise<unknown>): Promise<Times> {
  const [begun, before] = [performance.now(), process.cpuUsage()]
  await view()
  const { user, system } = process.cpuUsage(before)
  return { clock: performance.now() - begun, work: (user + system) / 1000 }
}

function medians(all: readonly Times[]) {
  const clocks = all.map((t) => t.clock)
  return { clock: median(clocks), least: Math.min(...clocks), work: median(all.map((t) => t.work)) }
}

/** The values of one characteristic, all of them: in buckets, and one by one. */
async function distributionRows(location: StoreLocation, measurements: number, size: () => Promise<number>) {
  const filling = await openStore(location)
  await fillShop(filling, { measurements, builds: BUILDS, characteristics: 1 })
  await filling.close()
  const bytes = await size()
  const store = await openStore(location)
  const probabilities = [0.00135, 0.5, 0.99865]
  const edges = Array.from({ length: 61 }, (_, i) => 10.9 + i / 300)
  const inBuckets: Times[] = []
  let [width, uncertain] = [0, 0]
  for (let i = 0; i < REPEATS; i++) {
    inBuckets.push(
      await timeOf(async () => {
        const known = await store.distribution(1, 'sintered', null)
        width = Math.max(...quantileBounds(known, probabilities).map(({ lower, upper }) => upper - lower))
        uncertain = Math.max(...countBounds(known, edges).map(({ lower, upper }) => upper - lower))
      }),
    )
  }
  const oneByOne = await timeOf(async () => {
    quantiles(await store.exactValues(1, 'sintered', null), probabilities, 7)
  })
  await store.close()
  const name = `quantiles and a histogram of ${measurements.toLocaleString('en')} values, ${'file' in location ? 'SQLite' : 'PostgreSQL'}`
  return [
    row(`${name}, from buckets`, medians(inBuckets).clock, 'ms', {
      what: 'exactly',
      measured: oneByOne.clock,
    }),
    row(`${name}, quantiles known to`, width * 1000, 'um'),
    row(`${name}, counts known to`, (100 * uncertain) / measurements, '% of all'),
    row(`${name}, database`, bytes / measurements, 'B a value'),
  ]
}

/** Overview and chart by the number of measurements in 2000 builds, and by the number of builds. */
export async function scaleBench(greatestOnSqlite: number, greatestOnPostgres: number): Promise<BenchRow[]> {
  const folder = mkdtempSync(join(tmpdir(), 'as-sintered-bench-'))
  const postgres = await startPostgres({ shared_buffers: '256MB', max_wal_size: '4GB' })
  const rows: BenchRow[] = []
  let databases = 0
  const onSqlite = async (measurements: number, builds: number) => {
    const file = join(folder, `${++databases}.sqlite`)
    const size = async () => statSync(file).size
    const measured = await measure({ file }, measurements, builds, size, async () => undefined)
    rmSync(file)
    return measured
  }
  const onPostgres = async (measurements: number, builds: number) => {
    const connection = await postgres.createDatabase()
    const size = () => postgres.sizeOf(connection)
    return await measure({ connection }, measurements, builds, size, () => postgres.settle(connection))
  }
  try {
    const sqlite = new Map<number, Measured>()
    for (let n = 1e4; n <= greatestOnSqlite; n *= 10) {
      sqlite.set(n, await onSqlite(n, BUILDS))
      // Ten thousand measurements do not fill every cell; from a hundred thousand on there are equally many.
      rows.push(
        ...rowsOf(
          'SQLite',
          n,
          sqlite.get(n) as Measured,
          'the same of 100,000',
          n > 1e5 ? sqlite.get(1e5) : undefined,
        ),
      )
    }
    for (let n = 1e4; n <= greatestOnPostgres; n *= 10) {
      rows.push(...rowsOf('PostgreSQL', n, await onPostgres(n, BUILDS), 'SQLite', sqlite.get(n)))
    }
    rows.push(...(await slopeOverBuilds(onSqlite)))
    const file = join(folder, 'one.sqlite')
    rows.push(...(await distributionRows({ file }, greatestOnSqlite, async () => statSync(file).size)))
    const connection = await postgres.createDatabase()
    rows.push(
      ...(await distributionRows({ connection }, greatestOnPostgres, () => postgres.sizeOf(connection))),
    )
    return rows
  } finally {
    await postgres.stop()
    rmSync(folder, { recursive: true, force: true })
  }
}

function rowsOf(
  engine: string,
  measurements: number,
  { overview, chart, memory, rate, bytes }: Measured,
  what: string,
  other: Measured | undefined,
): BenchRow[] {
  const of = `of ${measurements.toLocaleString('en')}, ${engine}`
  const beside = (measured: number | undefined) => (measured === undefined ? null : { what, measured })
  return [
    row(`overview ${of}, after a commit`, overview.first.clock, 'ms'),
    row(`overview ${of}, at best`, overview.first.least, 'ms', beside(other?.overview.first.least)),
    row(`overview ${of}, processor time`, overview.first.work, 'ms'),
    row(`overview ${of}, again`, overview.again.clock, 'ms'),
    row(`chart ${of}, after a commit`, chart.first.clock, 'ms'),
    row(`chart ${of}, at best`, chart.first.least, 'ms', beside(other?.chart.first.least)),
    row(`chart ${of}, processor time`, chart.first.work, 'ms'),
    row(`chart ${of}, again`, chart.again.clock, 'ms'),
    row(`filling ${of}`, rate, '1/s'),
    row(`database ${of}`, bytes, 'B a value'),
    row(`memory ${of}`, memory, 'MiB'),
  ]
}

/** How the cost grows with the builds: 4000 beside 1000, so that four is proportional. */
async function slopeOverBuilds(
  onSqlite: (n: number, builds: number) => Promise<Measured>,
): Promise<BenchRow[]> {
  const few = await onSqlite(2e5, 1000)
  const many = await onSqlite(2e5, 4000)
  const beside = (measured: number) => ({ what: '1,000 builds', measured })
  return [
    row(
      'overview of 4,000 builds, at best',
      many.overview.first.least,
      'ms',
      beside(few.overview.first.least),
    ),
    row('chart of 4,000 builds, at best', many.chart.first.least, 'ms', beside(few.chart.first.least)),
  ]
}
