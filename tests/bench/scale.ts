/**
 * How the cost of the overview and of a chart grows with the measurements on record and with the builds:
 *
 *     npx tsx tests/bench/scale.ts [greatest number of measurements on SQLite] [on PostgreSQL]
 *
 * Databases are filled through the store's writer, without files. 10 000 000 and 1 000 000 unless said otherwise.
 */
import { mkdtempSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { StoreLocation } from '../../server/store/location.ts'
import { openStore, type Store } from '../../server/store/store.ts'
import { chartView, driftView } from '../../server/views/drift-view.ts'
import { startPostgres } from '../tools/postgres.ts'
import { fillShop } from './fill-shop.ts'

const CHARACTERISTICS = 40
const BUILDS = 2000
const REPEATS = 9

const greatestOnSqlite = Number(process.argv[2] ?? 1e7)
const greatestOnPostgres = Number(process.argv[3] ?? 1e6)

const ms = (n: number) => `${n < 10 ? n.toFixed(1) : n.toFixed(0)} ms`.padStart(9)

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
  const store = await openStore(location)
  const [partNumber] = await store.partNumbers()
  if (partNumber === undefined) throw new Error('nothing was filled in')
  const characteristics = await store.characteristics(partNumber.id)
  const overview = await median(store, () => driftView(store, partNumber, 'sintered'))
  let next = 0
  const chart = await median(store, () => {
    const characteristic = characteristics[next++ % characteristics.length]
    if (characteristic === undefined) throw new Error('no characteristics')
    return chartView(store, partNumber, characteristic, 'sintered')
  })
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
      ...[overview.first, overview.again, chart.first, chart.again].map(ms),
      `${memory.toFixed(0)} MiB`.padStart(9),
    ].join('  '),
  )
}

/** Median times of a view: after something was committed, and again without. */
async function median(store: Store, view: () => Promise<unknown>) {
  const [first, again]: [number[], number[]] = [[], []]
  await view()
  for (let i = 0; i < REPEATS; i++) {
    await store.write((writer) => writer.put('gauge', [{ id: 99, name: `CMM-99, calibrated ${i} times` }]))
    first.push(await timeOf(view))
    again.push(await timeOf(view))
  }
  const middle = (times: number[]) => times.sort((a, b) => a - b)[REPEATS >> 1] as number
  return { first: middle(first), again: middle(again) }
}

async function timeOf(view: () => Promise<unknown>): Promise<number> {
  const begun = performance.now()
  await view()
  return performance.now() - begun
}

const folder = mkdtempSync(join(tmpdir(), 'as-sintered-bench-'))
const postgres = await startPostgres({ shared_buffers: '256MB', max_wal_size: '4GB' })
try {
  console.log(
    'database    measurements  builds     intake   a value   overview     again      chart     again    memory',
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
  for (const builds of [250, 500, 1000, 2000, 4000]) await onSqlite(Math.min(1e6, greatestOnSqlite), builds)
} finally {
  await postgres.stop()
  rmSync(folder, { recursive: true, force: true })
}
