import { normalUpperQuantile } from '../distributions/normal.ts'
import type { Characteristic } from '../domain/characteristic.ts'
import type { ProcessState } from './state.ts'
import { AXES, millimetres, type SizeTerms } from './terms.ts'

/** Limits for the green part, in the characteristic's unit. */
export interface GreenLimits {
  readonly characteristic: Characteristic
  /** Green size that becomes the nominal on average; null without a nominal. */
  readonly aim: number | null
  /** Green size that becomes the lower specification limit on average; null without one. */
  readonly lower: number | null
  readonly upper: number | null
  /**
   * The same drawn in so far that a green part between them comes out within the sintered limits with the probability
   * asked for, at either end. Null where the limit does not exist or nothing is left between the two.
   */
  readonly guardedLower: number | null
  readonly guardedUpper: number | null
}

/**
 * Sintered limits back on the green part: green = (sintered − standing deviation) / fraction kept. The green part holds
 * the offset already, as binder bleeds before sintering. Sintering scatters by builds, and by parts inside them; the
 * guard counts both, with the doubt of the shrinkage itself.
 *
 * @param probability that a green part at a guarded limit sinters to within the limits, above 0.5 and below 1
 * @returns null where an axis is not fitted
 */
export function greenLimits(state: ProcessState, terms: SizeTerms, probability = 0.975): GreenLimits | null {
  const { characteristic, weights } = terms
  const { scatter } = state.fit
  const unit = millimetres(characteristic)
  if (scatter === null) return null
  let kept = 0
  let relative = 0
  for (const axis of AXES) {
    const weight = weights[axis]
    if (weight === 0) continue
    const axisState = state.axes[axis]
    if (axisState === null) return null
    kept += weight * axisState.kept
    relative +=
      weight ** 2 *
      ((axisState.neededVariance + axisState.buildVariance) / axisState.needed ** 2 + scatter.relative[axis])
  }
  const standing = (state.standing.get(characteristic.id)?.value ?? 0) / unit
  const back = (size: number | null) => (size === null ? null : (size - standing) / kept)
  const { nominal, lower, upper } = characteristic
  const guard = normalUpperQuantile(1 - probability) * Math.sqrt(relative)
  const low = back(lower)
  const high = back(upper)
  const guardedLow = low === null ? null : low / (1 - guard)
  const guardedHigh = high === null ? null : high / (1 + guard)
  const empty = guardedLow !== null && guardedHigh !== null && guardedLow >= guardedHigh
  return {
    characteristic,
    aim: back(nominal),
    lower: low,
    upper: high,
    guardedLower: empty ? null : guardedLow,
    guardedUpper: empty ? null : guardedHigh,
  }
}
