import { statSync } from 'node:fs'
import type { StoreLocation } from '../../server/store/location.ts'
import { openStore } from '../../server/store/store.ts'
import { countBounds, quantileBounds } from '../../src/description/bucket-counts.ts'
import { quantiles } from '../../src/description/quantiles.ts'
import { fillShop } from './fill-shop.ts'
import { type BenchRow, median, row } from './rows.ts'

const REPEATS = 9

/**
 * Quantiles and a histogram of one characteristic, of all its values: in buckets, and one by one.
 *
 * @param location of an empty database
 * @param size its bytes on disk; those of its file unless said otherwise
 */
export async function distributionRows(
  location: StoreLocation,
  measurements: number,
  builds: number,
  size: () => Promise<number> = async () => statSync((location as { file: string }).file).size,
): Promise<BenchRow[]> {
  const filling = await openStore(location)
  await fillShop(filling, { measurements, builds, characteristics: 1 })
  await filling.close()
  const bytes = await size()
  const store = await openStore(location)
  const probabilities = [0.00135, 0.5, 0.99865]
  const edges = Array.from({ length: 61 }, (_, i) => 10.9 + i / 300)
  const inBuckets: number[] = []
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
    row(`${name}, from buckets`, median(inBuckets), 'ms', { what: 'exactly', measured: oneByOne }),
    row(`${name}, quantiles known to`, width * 1000, 'um'),
    row(`${name}, counts known to`, (100 * uncertain) / measurements, '% of all'),
    row(`${name}, database`, bytes / measurements, 'B a value'),
  ]
}

async function timeOf(work: () => Promise<unknown>): Promise<number> {
  const begun = performance.now()
  await work()
  return performance.now() - begun
}
