import type { Cell } from '../domain/cell.ts'

/**
 * Something left out of the computations for a reason that is on record. Left-out subgroups and values are shown, but
 * neither make limits nor take part in tests.
 */
export interface Exclusion {
  readonly buildId: number
  /**
   * The single value left out, in the characteristic's unit, which its cell then does not hold any more; null where
   * the whole subgroup is left out, whose cells hold its values still.
   */
  readonly value: number | null
}

/**
 * The cells that may be computed with: those of subgroups that are left out as a whole are missing. Single values that
 * are left out are out of their cells already, since a cell cannot tell them.
 *
 * @param cells of one characteristic and stage
 * @param exclusions of the same
 */
export function includedCells(cells: readonly Cell[], exclusions: readonly Exclusion[]): readonly Cell[] {
  const leftOut = leftOutBuilds(exclusions)
  return leftOut.size === 0 ? cells : cells.filter((cell) => !leftOut.has(cell.buildId))
}

/** Builds whose subgroup is left out as a whole. */
export function leftOutBuilds(exclusions: readonly Exclusion[]): ReadonlySet<number> {
  return new Set(exclusions.flatMap(({ buildId, value }) => (value === null ? [buildId] : [])))
}

/** Single values left out, by build. */
export function leftOutValues(exclusions: readonly Exclusion[]): ReadonlyMap<number, readonly number[]> {
  const values = new Map<number, number[]>()
  for (const { buildId, value } of exclusions) {
    if (value === null) continue
    const known = values.get(buildId)
    if (known === undefined) values.set(buildId, [value])
    else known.push(value)
  }
  return values
}
