import { type BucketCounts, type KnownValues, mergeBuckets } from '../../src/description/bucket-counts.ts'
import type { Stage } from '../../src/domain/cell.ts'
import { unpackBuckets } from './bucket-bytes.ts'
import type { Engine } from './engine.ts'
import { countedValues } from './included-values.ts'

export interface DistributionReads {
  /**
   * The values of a characteristic that count, those of large cells as counts in buckets: enough for a histogram and
   * for quantiles with certain bounds, however many there are.
   *
   * @param builds identities of the builds wanted; null for all
   */
  distribution(
    characteristicId: number,
    stage: Stage,
    builds: ReadonlySet<number> | null,
  ): Promise<KnownValues>
  /** The same values one by one, in any order: exact, in a time that grows with their number. */
  exactValues(
    characteristicId: number,
    stage: Stage,
    builds: ReadonlySet<number> | null,
  ): Promise<Float64Array>
}

export function distributionReads(engine: Engine): DistributionReads {
  const { db } = engine
  const cellsOf = async (characteristicId: number, stage: Stage, builds: ReadonlySet<number> | null) => {
    const rows = await db
      .selectFrom('cell')
      .leftJoin('cell_buckets', 'cell_buckets.cell_id', 'cell.id')
      .where('cell.characteristic_id', '=', characteristicId)
      .where('cell.stage', '=', stage)
      .select(['cell.id', 'cell.build_id', 'cell_buckets.buckets'])
      .execute()
    return builds === null ? rows : rows.filter((row) => builds.has(row.build_id))
  }
  return {
    async distribution(characteristicId, stage, builds) {
      const cells = await cellsOf(characteristicId, stage, builds)
      const counted: BucketCounts[] = []
      const others: number[] = []
      for (const { id, buckets } of cells) {
        if (buckets === null) others.push(id)
        else counted.push(unpackBuckets(buckets))
      }
      return { values: await countingValues(engine, others), buckets: mergeBuckets(counted) }
    },

    async exactValues(characteristicId, stage, builds) {
      const cells = await cellsOf(characteristicId, stage, builds)
      return await countingValues(
        engine,
        cells.map((cell) => cell.id),
      )
    },
  }
}

/** What counts of the values of the cells. */
async function countingValues({ db, values }: Engine, cellIds: readonly number[]): Promise<Float64Array> {
  return (await countedValues(db, await values(cellIds))).value
}
