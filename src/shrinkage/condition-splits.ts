import type { Axis } from '../domain/characteristic.ts'
import type { Split, SplitBy } from '../places/model.ts'
import { splitGroups } from '../places/split-groups.ts'
import type { ShrinkageFit } from './fit.ts'
import { shrinkageSeries } from './series.ts'
import type { BuildConditions } from './shares.ts'

const CONDITIONS: readonly (readonly [SplitBy, (c: BuildConditions) => string | number | null])[] = [
  ['powder lot', (c) => c.powderLot],
  ['powder reuse', (c) => c.powderReuse],
  ['furnace', (c) => c.furnace],
]
/** Chance that an interval misses. */
const LEVEL = 0.05

/**
 * Shrinkage of builds against what they were run with: how far the builds of each lot, number of reuses and furnace lie
 * from the mean of the groups, in per cent. Builds are compared with builds, so that whatever else changed between them
 * counts too. A condition with fewer than two groups is left out.
 */
export function conditionSplits(
  fit: ShrinkageFit,
  axis: Axis,
  conditions: readonly BuildConditions[],
): Split[] {
  const series = shrinkageSeries(fit, axis)
  const ofBuild = new Map(conditions.map((condition) => [condition.buildId, condition]))
  const origin = series.values[0] ?? 0
  return CONDITIONS.flatMap(([by, of]): Split[] => {
    const builds = series.buildIds.flatMap((id, i) => {
      const condition = ofBuild.get(id)
      const group = condition === undefined ? null : of(condition)
      return group === null ? [] : [{ group, value: 100 * ((series.values[i] as number) - origin) }]
    })
    const groups = [...new Set(builds.map(({ group }) => group))].sort((a, b) =>
      typeof a === 'number' && typeof b === 'number'
        ? a - b
        : String(a).localeCompare(String(b), 'en', { numeric: true }),
    )
    if (groups.length < 2) return []
    const sums = builds.map(({ group, value }) => ({
      block: 0,
      group: groups.indexOf(group),
      n: 1,
      sum: value,
      squares: value * value,
    }))
    return [{ by, compares: 'builds', groups: splitGroups(groups.map(String), sums, LEVEL) }]
  })
}
