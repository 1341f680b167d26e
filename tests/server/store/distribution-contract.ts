import { beforeEach, describe, expect, it } from 'vitest'
import type { Store } from '../../../server/store/store.ts'
import { bucketCounts, quantileBounds } from '../../../src/description/bucket-counts.ts'
import { momentsOf } from '../../../src/description/moments.ts'
import { quantiles } from '../../../src/description/quantiles.ts'
import { columns, furnish, inOrder } from './furnished.ts'

/**
 * What every store must say of the distribution of values.
 *
 * @param opened the store, on an empty database
 */
export function distributionContract(opened: () => Store): void {
  describe('distributions', () => {
    let store: Store
    beforeEach(() => {
      store = opened()
    })

    describe('with cells of different sizes', () => {
      const large = Array.from({ length: 300 }, (_, i) => Math.round((10 + Math.sin(i) / 50) * 1e4) / 1e4)
      const small = Array.from({ length: 20 }, (_, i) => Math.round((10 + Math.cos(i) / 50) * 1e4) / 1e4)
      beforeEach(() =>
        store.write(async (writer) => {
          await furnish(writer)
          await writer.insertCells([
            { id: 1, characteristic_id: 1, build_id: 1, furnace_load_id: 1, stage: 'sintered' },
            { id: 2, characteristic_id: 1, build_id: 2, furnace_load_id: null, stage: 'sintered' },
          ])
          const rows = [
            ...large.map((value, i) => [1, 1, i + 1, value, i + 2] as const),
            ...small.map((value, i) => [2, 3, i + 1, value, i + 302] as const),
          ]
          await writer.insertMeasurements(1, columns(rows), inOrder(rows.length))
          await writer.mergeCells(
            new Map([
              [1, momentsOf(large)],
              [2, momentsOf(small)],
            ]),
          )
        }),
      )

      const sorted = (values: Iterable<number>) => Float64Array.from(values).sort()

      it('gives the distribution: the large cell in buckets, the small one value by value', async () => {
        const { values, buckets } = await store.distribution(1, 'sintered', null)
        expect(sorted(values)).toEqual(sorted(small))
        expect(buckets).toEqual([bucketCounts(large)])
        const [median] = quantileBounds({ values, buckets }, [0.5])
        const [exact] = quantiles([...large, ...small], [0.5], 7)
        expect(median?.lower).toBeLessThanOrEqual(exact as number)
        expect(median?.upper).toBeGreaterThanOrEqual(exact as number)
        const ofBuild = await store.distribution(1, 'sintered', new Set([2]))
        expect(ofBuild.buckets).toEqual([])
        expect(await store.distribution(2, 'sintered', null)).toEqual({
          values: new Float64Array(),
          buckets: [],
        })
      })

      it('gives all values one by one where they are asked for', async () => {
        expect(sorted(await store.exactValues(1, 'sintered', null))).toEqual(sorted([...large, ...small]))
        expect(sorted(await store.exactValues(1, 'sintered', new Set([1])))).toEqual(sorted(large))
      })

      it('counts anew when values come to a cell', async () => {
        await store.write(async (writer) => {
          const rows = large.slice(0, 50).map((value, i) => [1, 2, i + 1, value + 0.1, i + 400] as const)
          await writer.insertMeasurements(1, columns(rows), inOrder(rows.length))
          await writer.mergeCells(new Map([[1, momentsOf(rows.map((row) => row[3]))]]))
        })
        const { buckets } = await store.distribution(1, 'sintered', new Set([1]))
        expect(buckets).toEqual([bucketCounts([...large, ...large.slice(0, 50).map((v) => v + 0.1)])])
      })

      it('leaves out single values that are excluded, and takes them back', async () => {
        const grounds = { reason: 'dropped on the floor', who: 'M. Doe', at: 1 }
        const place = {
          characteristicId: 1,
          stage: 'sintered' as const,
          buildId: 1,
          single: { serial: 'S10', replicate: 1 },
        }
        const id = await store.write((writer) => writer.leaveOut(place, grounds))
        const without = await store.distribution(1, 'sintered', new Set([1]))
        expect(without.buckets).toEqual([])
        expect(sorted(without.values)).toEqual(sorted(large.slice(1)))
        expect(sorted(await store.exactValues(1, 'sintered', new Set([1])))).toEqual(sorted(large.slice(1)))
        await store.write((writer) => writer.takeBack(id as number, grounds))
        expect(sorted(await store.exactValues(1, 'sintered', new Set([1])))).toEqual(sorted(large))
      })
    })
  })
}
