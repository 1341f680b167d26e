import type { ShrinkageView } from '../../server/contract/shrinkage.ts'
import type { ScaleFactors } from '../../src/domain/build.ts'
import type { Axis } from '../../src/domain/characteristic.ts'
import { driftState } from './drift-state.ts'

/** What the address of the page on shrinkage says, with defaults where it says nothing that can be used. */
export interface ShrinkageState {
  /** The axis in view; null for the one to look at first. */
  readonly axis: Axis | null
  /** How many of the last builds are in view; null for all. */
  readonly builds: number | null
  /** Factors to try; null where none are given. */
  readonly tried: ScaleFactors | null
}

export function shrinkageState(query: Readonly<Record<string, string>>): ShrinkageState {
  const { axis } = query
  return {
    axis: axis === 'X' || axis === 'Y' || axis === 'Z' ? axis : null,
    builds: driftState(query).builds,
    tried: triedFactors(query),
  }
}

function triedFactors({ x, y, z }: Readonly<Record<string, string>>): ScaleFactors | null {
  const factors = { x: factorIn(x), y: factorIn(y), z: factorIn(z) }
  return factors.x === null || factors.y === null || factors.z === null ? null : factors
}

/** A factor as typed, with a point or a comma; null where it is none. */
export function factorIn(text: string | undefined): number | null {
  const value = text === undefined || text.trim() === '' ? Number.NaN : Number(text.trim().replace(',', '.'))
  return Number.isFinite(value) ? value : null
}

/** The axis that asks for the most, and shows something. */
export function firstAxis({ advice, axes }: ShrinkageView): Axis {
  const shown = advice.axes.filter(({ axis }) =>
    axes.some((each) => each.axis === axis && each.shrinkage !== null),
  )
  const excess = (axis: (typeof shown)[number]) =>
    axis.deviation === null || axis.deadband === null ? 0 : Math.abs(axis.deviation.value) / axis.deadband
  const [first] = shown.toSorted((a, b) => excess(b) - excess(a))
  return first?.axis ?? 'X'
}
