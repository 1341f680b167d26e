import { conditionSplits } from '../../src/shrinkage/condition-splits.ts'
import { partDeviations } from '../../src/shrinkage/part-deviations.ts'
import { placeEffects } from '../../src/shrinkage/place-effects.ts'
import { type BuildConditions, explainedShares } from '../../src/shrinkage/shares.ts'
import { AXES } from '../../src/shrinkage/terms.ts'
import { varianceSources } from '../../src/shrinkage/variance-sources.ts'
import type { SharesView } from '../contract/shrinkage.ts'
import type { PartNumber } from '../contract/views.ts'
import { kept } from '../store/kept.ts'
import type { Store } from '../store/store.ts'
import { type ShrinkageOnRecord, shrinkageOnRecord } from './shrinkage-fit.ts'

/** The most single values that are read: those of the latest builds. */
const MOST_VALUES = 20_000

/** How much of the variance of shrinkage goes with powder, furnace, place and tray. */
export function sharesView(store: Store, partNumber: PartNumber): Promise<SharesView> {
  return kept(store, `shares of ${partNumber.id}`, async () => {
    const record = await shrinkageOnRecord(store, partNumber)
    const { builds, fit, terms } = record
    const alone = terms.filter(({ weights }) => AXES.some((axis) => weights[axis] > 0.999))
    const ids = alone.map(({ characteristic }) => characteristic.id)
    const latest = latestBuilds(record, new Set(ids))
    const values = await store.placedPartValues(ids, latest)
    const conditions = builds.map(
      (build): BuildConditions => ({
        buildId: build.id,
        powderReuse: build.powderReuse,
        powderLot: build.powderLot,
        furnace: build.furnaces.length === 1 ? (build.furnaces[0] as string) : null,
      }),
    )
    return {
      axes: AXES.map((axis) => {
        if (fit.overall[axis] === null) return { axis, shares: [], splits: [], sources: [], places: null }
        const parts = partDeviations(values, terms, axis)
        const places = placeEffects(parts)
        return {
          axis,
          shares: explainedShares(fit, axis, conditions, parts),
          splits: conditionSplits(fit, axis, conditions),
          sources: varianceSources(fit, axis, places),
          places,
        }
      }),
      sample: { builds: latest.length, ofBuilds: builds.length, values: values.length, most: MOST_VALUES },
    }
  })
}

/** As many of the latest builds as hold no more values than are read. */
function latestBuilds({ builds, sintered }: ShrinkageOnRecord, ids: ReadonlySet<number>): number[] {
  const counts = new Map<number, number>()
  for (const cell of sintered)
    if (ids.has(cell.characteristicId)) counts.set(cell.buildId, (counts.get(cell.buildId) ?? 0) + cell.n)
  const latest: number[] = []
  let sum = 0
  for (const { id } of [...builds].reverse()) {
    sum += counts.get(id) ?? 0
    if (sum > MOST_VALUES) break
    latest.push(id)
  }
  return latest
}
