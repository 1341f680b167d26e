import { type AxisEstimate, axisEstimate } from './axis-estimate.ts'
import type { Whole } from './build-components.ts'
import type { Estimator } from './estimate.ts'
import type { Guess, Unit } from './information.ts'
import { perAxis } from './observations.ts'
import { type Coefficient, joinDesigns, toldBy } from './offsets.ts'
import { invert } from './small-systems.ts'
import type { PerAxis } from './terms.ts'

/** A build (by position) or furnace load (by id) with its estimates. */
interface GroupEstimate {
  readonly id: number
  readonly axes: PerAxis<AxisEstimate | null>
  readonly position: number
}

interface Context {
  readonly coefficients: readonly Coefficient[]
  readonly guess: Guess
  readonly whole: Whole
  /** By the scatter of parts. */
  readonly estimate: Estimator
}

/**
 * Estimates of each group from its own parts. What a group's own sizes do not tell (an offset apart from scale,
 * or the other axis of a diameter) is taken to be as the whole record allows: a normal prior of its mean and scatter.
 */
export function groupEstimates(
  units: readonly Unit[],
  groupOf: (unit: Unit) => number,
  context: Context,
): GroupEstimate[] {
  const grouped = new Map<number, Unit[]>()
  for (const unit of units) {
    const known = grouped.get(groupOf(unit))
    if (known === undefined) grouped.set(groupOf(unit), [unit])
    else known.push(unit)
  }
  return [...grouped].map(([id, own]) => ({
    id,
    position: (own[0] as Unit).build,
    axes: estimates(own, context),
  }))
}

function estimates(units: readonly Unit[], context: Context): PerAxis<AxisEstimate | null> {
  const { coefficients, guess, whole, estimate } = context
  const p = coefficients.length
  const information = new Float64Array(p * p)
  const score = new Float64Array(p)
  for (const unit of units) {
    for (let i = 0; i < p * p; i++)
      information[i] = (information[i] as number) + (unit.information[i] as number)
    for (let i = 0; i < p; i++) score[i] = (score[i] as number) + (unit.score[i] as number)
  }
  const design = joinDesigns(units.map((unit) => unit.design))
  const told = toldBy(design, coefficients)
  for (const [i, isTold] of told.entries()) {
    if (isTold) continue
    const kind = whole.kinds.findIndex((k) => k.of === 'build' && k.coefficient === i)
    const between = kind === -1 ? 0 : (whole.variances[kind] as number)
    const precision = 1 / (between + (whole.covariance[i * p + i] as number))
    information[i * p + i] = (information[i * p + i] as number) + precision
    score[i] = (score[i] as number) + precision * (whole.coefficients[i] as number)
  }
  const covariance = invert(information, p)
  if (covariance === null) return { X: null, Y: null, Z: null }
  const solution = score.map((_, i) =>
    score.reduce((sum, s, j) => sum + (covariance[i * p + j] as number) * s, 0),
  )
  return perAxis((axis) =>
    design.own.has(axis)
      ? axisEstimate(axis, { coefficients: solution, covariance }, coefficients, guess, estimate)
      : null,
  )
}
