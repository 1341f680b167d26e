import type { Axis } from '../domain/characteristic.ts'
import type { Observation } from './observations.ts'
import type { ShrinkageProblem } from './problem.ts'
import { AXES, millimetres } from './terms.ts'

/** A coefficient of the model: the fraction of the green size that is left, or the offset in mm, along one axis. */
export interface Coefficient {
  readonly axis: Axis
  readonly quantity: 'kept' | 'offset'
}

/**
 * An offset is fitted only where it swells the variance of the shrinkage less than this: sizes within ±10 % of one
 * another swell it about a hundredfold.
 */
export const MOST_INFLATION = 100

/**
 * How many times the variance of the shrinkage along an axis is swollen by fitting an offset beside it, counting every
 * cell once: 1 / (1 − r²), r being the cosine between sizes and senses. Infinite where they cannot be told
 * apart, null where no offset acts or nothing is there.
 */
export function offsetInflation(observations: readonly Observation[], axis: Axis): number | null {
  let xx = 0
  let zz = 0
  let xz = 0
  for (const o of observations) {
    const share = o.terms.weights[axis]
    if (share === 0) continue
    // Measured green parts show the offset directly.
    if (o.isGreen && o.terms.sense !== 0) return 1
    const x = share * (o.terms.characteristic.nominal as number) * millimetres(o.terms.characteristic)
    const z = share * o.sense
    xx += x * x
    zz += z * z
    xz += x * z
  }
  if (xx === 0 || zz === 0) return null
  const rest = xx * zz - xz * xz
  return rest <= 1e-12 * xx * zz ? Number.POSITIVE_INFINITY : (xx * zz) / rest
}

/** The coefficients that the record can tell, axis by axis, and what it cannot. */
export function chooseCoefficients(observations: readonly Observation[]): {
  readonly coefficients: Coefficient[]
  readonly problems: ShrinkageProblem[]
} {
  const coefficients: Coefficient[] = []
  const problems: ShrinkageProblem[] = []
  for (const axis of AXES) {
    // An axis needs a characteristic of its own: a diameter alone does not tell X from Y.
    const own = new Set<number>()
    for (const o of observations) {
      if (!o.isGreen && o.terms.weights[axis] > 0.5) own.add(o.terms.characteristic.id)
    }
    if (own.size === 0) {
      problems.push({ kind: 'no-values', axis })
      continue
    }
    coefficients.push({ axis, quantity: 'kept' })
    const inflation = offsetInflation(observations, axis)
    if (inflation === null) problems.push({ kind: 'no-offset-acts', axis })
    else if (inflation < MOST_INFLATION) coefficients.push({ axis, quantity: 'offset' })
    else if (own.size === 1)
      problems.push({ kind: 'one-characteristic', axis, characteristicId: [...own][0] as number })
    else problems.push({ kind: 'sizes-too-alike', axis, inflation })
  }
  return { coefficients, problems }
}
