import { momentsAt } from '../description/moment-columns.ts'
import { type Moments, standardDeviation } from '../description/moments.ts'
import type { Cell } from '../domain/cell.ts'
import { cellColumns } from '../domain/cell-columns.ts'
import type { Exclusion } from './exclusions.ts'
import type { Subgroup } from './model.ts'
import { type BuildLabel, placesOf } from './places.ts'
import { type SubgroupColumns, subgroupColumns } from './subgroup-columns.ts'

/** A subgroup together with the moments that it was merged from. */
export interface MergedSubgroup extends Subgroup {
  readonly moments: Moments
  /** Place of its build in the order of builds. */
  readonly position: number
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
  const columns = subgroupColumns(cellColumns(cells), placesOf(builds), exclusions)
  return Array.from({ length: columns.length }, (_, i) => {
    const position = columns.place[i] as number
    return { ...subgroupAt(columns, i, builds), moments: momentsAt(columns, i), position }
  })
}

const NONE: readonly number[] = []

/** @param builds the timeline that the columns were made on */
export function subgroupAt(columns: SubgroupColumns, i: number, builds: readonly BuildLabel[]): Subgroup {
  const place = columns.place[i] as number
  const { id, name } = builds[place] as BuildLabel
  const moments = momentsAt(columns, i)
  return {
    buildId: id,
    label: name,
    n: moments.n,
    mean: moments.mean,
    sd: standardDeviation(moments),
    min: moments.min,
    max: moments.max,
    leftOut: columns.leftOut[i] === 1,
    leftOutValues: columns.leftOutValues.get(place) ?? NONE,
  }
}
