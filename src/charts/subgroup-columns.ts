import {
  copyMoments,
  emptyMoments,
  type MomentColumns,
  momentsAt,
  putMoments,
} from '../description/moment-columns.ts'
import { mergeMoments, momentsOf } from '../description/moments.ts'
import type { CellColumns } from '../domain/cell-columns.ts'
import { type Exclusion, leftOutBuilds, leftOutValues } from './exclusions.ts'
import type { Places } from './places.ts'

/** Subgroups side by side, in the order of the timeline: entry i of every column belongs to subgroup i. */
export interface SubgroupColumns extends MomentColumns {
  /** Place of its build on the timeline, ascending. */
  readonly place: Int32Array
  /** 1 where it is left out of limits and tests, as in `Subgroup`. */
  readonly leftOut: Uint8Array
  /** Single values that are left out, by the place of their build. */
  readonly leftOutValues: ReadonlyMap<number, readonly number[]>
}

/**
 * Cells of one characteristic merged into one subgroup a build. Builds without a cell have no subgroup, unless each of
 * their values is left out; cells of builds that are not on the timeline are passed over.
 *
 * @param cells those of one build are merged in the order given
 * @param exclusions what is left out of that characteristic and stage
 */
export function subgroupColumns(
  cells: CellColumns,
  places: Places,
  exclusions: readonly Exclusion[] = [],
): SubgroupColumns {
  const builds = emptyMoments(places.size)
  for (let i = 0; i < cells.length; i++) {
    const at = places.get(cells.buildId[i] as number)
    if (at === undefined) continue
    if (builds.n[at] === 0) copyMoments(cells, i, builds, at)
    else putMoments(builds, at, mergeMoments(momentsAt(builds, at), momentsAt(cells, i)))
  }
  const leftOut = new Uint8Array(places.size)
  const singles = new Map<number, readonly number[]>()
  for (const [buildId, values] of leftOutValues(exclusions)) {
    const at = places.get(buildId)
    if (at === undefined) continue
    singles.set(at, values)
    if (builds.n[at] !== 0) continue
    putMoments(builds, at, momentsOf(values))
    leftOut[at] = 1
  }
  for (const buildId of leftOutBuilds(exclusions)) {
    const at = places.get(buildId)
    if (at !== undefined) leftOut[at] = 1
  }
  return { ...closedUp(builds, leftOut), leftOutValues: singles }
}

/** Without the builds that have no subgroup; the columns given are used up. */
function closedUp(builds: MomentColumns, leftOut: Uint8Array) {
  const place = new Int32Array(builds.length)
  let length = 0
  for (let at = 0; at < builds.length; at++) {
    if (builds.n[at] === 0) continue
    place[length] = at
    if (length < at) {
      copyMoments(builds, at, builds, length)
      leftOut[length] = leftOut[at] as number
    }
    length++
  }
  return {
    length,
    n: builds.n.subarray(0, length),
    mean: builds.mean.subarray(0, length),
    m2: builds.m2.subarray(0, length),
    min: builds.min.subarray(0, length),
    max: builds.max.subarray(0, length),
    place: place.subarray(0, length),
    leftOut: leftOut.subarray(0, length),
  }
}

/** Moments of those subgroups that are not left out. */
export function includedMoments(subgroups: SubgroupColumns): MomentColumns {
  const { leftOut } = subgroups
  const left = leftOut.reduce((sum, each) => sum + each, 0)
  if (left === 0) return subgroups
  const included = emptyMoments(subgroups.length - left)
  for (let i = 0, to = 0; i < subgroups.length; i++) {
    if (leftOut[i] === 0) copyMoments(subgroups, i, included, to++)
  }
  return included
}
