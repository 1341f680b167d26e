import { type Moments, mergeMoments, momentsOf, standardDeviation } from '../description/moments.ts'
import type { Cell } from '../domain/cell.ts'
import { type Exclusion, leftOutBuilds, leftOutValues } from './exclusions.ts'
import type { Subgroup } from './model.ts'

/** A subgroup together with the moments that it was merged from. */
export interface MergedSubgroup extends Subgroup {
  readonly moments: Moments
  /** Place of its build in the order of builds. */
  readonly position: number
}

/** What a plotted point is called and where it stands in the order of builds. */
export interface BuildLabel {
  readonly id: number
  readonly name: string
}

/**
 * Cells of one characteristic merged into one subgroup a build, in the order of `builds`. Builds without a cell have
 * no subgroup, unless each of their values is left out.
 *
 * @param cells cells of one characteristic and stage, in any order
 * @param builds the order of the timeline
 * @param exclusions what is left out of that characteristic and stage
 */
export function subgroupsByBuild(
  cells: readonly Cell[],
  builds: readonly BuildLabel[],
  exclusions: readonly Exclusion[] = [],
): MergedSubgroup[] {
  const byBuild = new Map<number, Moments>()
  for (const cell of cells) {
    const known = byBuild.get(cell.buildId)
    byBuild.set(cell.buildId, known === undefined ? cell : mergeMoments(known, cell))
  }
  const wholes = leftOutBuilds(exclusions)
  const singles = leftOutValues(exclusions)
  const subgroups: MergedSubgroup[] = []
  for (const [position, build] of builds.entries()) {
    const values = singles.get(build.id) ?? []
    const included = byBuild.get(build.id)
    const moments = included ?? (values.length === 0 ? undefined : momentsOf(values))
    if (moments === undefined) continue
    subgroups.push({
      buildId: build.id,
      label: build.name,
      n: moments.n,
      mean: moments.mean,
      sd: standardDeviation(moments),
      min: moments.min,
      max: moments.max,
      leftOut: included === undefined || wholes.has(build.id),
      leftOutValues: values,
      moments,
      position,
    })
  }
  return subgroups
}
