import type { Build, FurnaceLoad } from '../domain/build.ts'
import type { Cell } from '../domain/cell.ts'

/** One build with everything recorded about how it was made and measured. */
export interface BuildConditions {
  readonly build: Build
  /** Furnace loads that took its parts, with the share of the parts in each; shares sum to 1. Empty where unknown. */
  readonly loads: readonly LoadShare[]
  /** Gauges that its parts were measured with, in any order. */
  readonly gauges: readonly string[]
}

export interface LoadShare {
  readonly load: FurnaceLoad
  readonly share: number
}

/**
 * The builds with their furnace loads, shared out by the number of values that the cells hold.
 *
 * @param builds in the order of the timeline
 * @param cells of any characteristics; those of other builds, or without a furnace load, are passed over
 * @param gauges names by build id; builds without an entry have none recorded
 */
export function buildConditions(
  builds: readonly Build[],
  loads: readonly FurnaceLoad[],
  cells: readonly Cell[],
  gauges: ReadonlyMap<number, readonly string[]>,
): BuildConditions[] {
  const loadOf = new Map(loads.map((load) => [load.id, load]))
  const counts = new Map<number, Map<FurnaceLoad, number>>()
  for (const cell of cells) {
    const load = cell.furnaceLoadId === null ? undefined : loadOf.get(cell.furnaceLoadId)
    if (load === undefined) continue
    const own = counts.get(cell.buildId) ?? new Map<FurnaceLoad, number>()
    own.set(load, (own.get(load) ?? 0) + cell.n)
    counts.set(cell.buildId, own)
  }
  return builds.map((build) => {
    const own = [...(counts.get(build.id) ?? [])]
    const total = own.reduce((sum, [, n]) => sum + n, 0)
    return {
      build,
      loads: own.map(([load, n]) => ({ load, share: n / total })),
      gauges: gauges.get(build.id) ?? [],
    }
  })
}
