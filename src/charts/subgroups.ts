import { type Moments, mergeMoments, standardDeviation } from '../description/moments.ts'
import type { Cell } from '../domain/cell.ts'
import type { Subgroup } from './model.ts'

/** A subgroup together with the moments that it was merged from. */
export interface MergedSubgroup extends Subgroup {
  readonly moments: Moments
}

/** What a plotted point is called and where it stands in the order of builds. */
export interface BuildLabel {
  readonly id: number
  readonly name: string
}

/**
 * Cells of one characteristic merged into one subgroup a build, in the order of `builds`.
 * Builds without a cell have no subgroup.
 *
 * @param cells cells of one characteristic and stage, in any order
 * @param builds the order of the timeline
 */
export function subgroupsByBuild(cells: readonly Cell[], builds: readonly BuildLabel[]): MergedSubgroup[] {
  const byBuild = new Map<number, Moments>()
  for (const cell of cells) {
    const known = byBuild.get(cell.buildId)
    byBuild.set(cell.buildId, known === undefined ? cell : mergeMoments(known, cell))
  }
  const subgroups: MergedSubgroup[] = []
  for (const build of builds) {
    const moments = byBuild.get(build.id)
    if (moments === undefined) continue
    subgroups.push({
      buildId: build.id,
      label: build.name,
      n: moments.n,
      mean: moments.mean,
      sd: standardDeviation(moments),
      min: moments.min,
      max: moments.max,
      moments,
    })
  }
  return subgroups
}
