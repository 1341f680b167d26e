/**
 * How the cost of the overview and of a chart grows with the measurements on record and with the builds:
 *
 *     npx tsx tests/bench/scale.ts [greatest number of measurements on SQLite] [on PostgreSQL]
 *
 * Times are medians of nine, by the clock and in brackets the processor time of the process, which other work on the
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

const CHARACTERISTICS = 40
const BUILDS = 2000
const REPEATS = 9

const greatestOnSqlite = Number(process.argv[2] ?? 1e7)
const greatestOnPostgres = Number(process.argv[3] ?? 1e6)

const ms = (n: number) => (n < 10 ? n.toFixed(1) : n.toFixed(0))
/** By the clock, and what of it this process was at work. */
const times = (of: Times) => `${ms(of.clock)} (${ms(of.work)}) ms`.padStart(16)

async function measure(
  location: StoreLocation,
  measurements: number,
  builds: number,
  size: () => Promise<number>,
) {
  const filling = await openStore(location)
  const begun = performance.now()
  await fillShop(filling, { measurements, builds, characteristics: CHARACTERISTICS })
  const seconds = (performance.now() - begun) / 1000
  await filling.close()
  if ('connection' in location) await postgres.settle(location.connection)
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
  console.log(
    [
      'file' in location ? 'SQLite    ' : 'PostgreSQL',
      measurements.toLocaleString('en').padStart(11),
      String(builds).padStart(6),
      `${Math.round(measurements / seconds / 1000)} k/s`.padStart(9),
      `${((await size()) / measurements).toFixed(1)} B`.padStart(9),
      ...[overview.first, overview.again, chart.first, chart.again].map(times),
      `${memory.toFixed(0)} MiB`.padStart(9),
    ].join('  '),
  )
}

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

function medians(all: readonly Times[]): Times {
  const middle = (values: number[]) => values.sort((a, b) => a - b)[values.length >> 1] as number
  return { clock: middle(all.map((t) => t.clock)), work: middle(all.map((t) => t.work)) }
}

/** The values of one characteristic, all of them: in buckets, and one by one. */
async function measureDistribution(
  location: StoreLocation,
  measurements: number,
  size: () => Promise<number>,
) {
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
  console.log(
    `${'file' in location ? 'SQLite' : 'PostgreSQL'}: ${measurements.toLocaleString('en')} values of one characteristic in ` +
      `${BUILDS} builds: quantiles and a histogram from buckets in ${times(medians(inBuckets)).trim()}, quantiles exactly in ` +
      `${times(oneByOne).trim()}; quantiles are known to ${(width * 1000).toFixed(2)} um, counts to ` +
      `${((100 * uncertain) / measurements).toFixed(2)} % of the values; ${(bytes / measurements).toFixed(1)} bytes a value`,
  )
}

const folder = mkdtempSync(join(tmpdir(), 'as-sintered-bench-'))
const postgres = await startPostgres({ shared_buffers: '256MB', max_wal_size: '4GB' })
try {
  console.log(
    'database    measurements  builds     intake   a value          overview             again             chart             again     memory',
  )
  let databases = 0
  const onSqlite = async (measurements: number, builds: number) => {
    const file = join(folder, `${++databases}.sqlite`)
    await measure({ file }, measurements, builds, async () => statSync(file).size)
    rmSync(file)
  }
  const onPostgres = async (measurements: number, builds: number) => {
    const connection = await postgres.createDatabase()
    await measure({ connection }, measurements, builds, () => postgres.sizeOf(connection))
  }
  for (let n = 1e4; n <= greatestOnSqlite; n *= 10) await onSqlite(n, BUILDS)
  for (let n = 1e4; n <= greatestOnPostgres; n *= 10) await onPostgres(n, BUILDS)
  const file = join(folder, 'one.sqlite')
  await measureDistribution({ file }, greatestOnSqlite, async () => statSync(file).size)
  const connection = await postgres.createDatabase()
  await measureDistribution({ connection }, greatestOnPostgres, () => postgres.sizeOf(connection))
  for (const builds of [250, 500, 1000, 2000, 4000]) await onSqlite(Math.min(1e6, greatestOnSqlite), builds)
} finally {
  await postgres.stop()
  rmSync(folder, { recursive: true, force: true })
}
