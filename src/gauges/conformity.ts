import type { Limits } from '../capability/indices.ts'
import { requireOrder } from '../capability/limits-order.ts'
import { normalLower, normalUpper } from '../distributions/normal.ts'
import { ArgumentError } from '../errors.ts'
import { requireFinite } from '../numbers/argument-checks.ts'
import { addDecimals, negateDecimal } from '../numbers/decimal.ts'

export type ConformityDecision = 'conforming' | 'not conforming' | 'inside the uncertainty'

export interface Conformity {
  readonly decision: ConformityDecision
  /** Values that are proved to conform; null where the uncertainty leaves none, and a missing limit stays missing. */
  readonly acceptance: Limits | null
  /**
   * Probability that the true value is within the limits, if nothing but the measurement is known and its error is
   * normal.
   */
  readonly probability: number
}

/**
 * Whether a measured value proves that the part conforms, or that it does not: within the limits by at least the
 * expanded uncertainty, beyond one of them by more than it, or neither. A value exactly as far from a limit as the
 * uncertainty is proved to conform; without uncertainty, one exactly on a limit conforms.
 *
 * The rule is that of ISO 14253-1 with the expanded uncertainty (k = 2) as guard band. The edition of 2017 asks by
 * default for 95 % probability of conformity, which a guard band of 1.65 standard uncertainties gives (from memory);
 * where drawing or customer agree on that, 0.825 times the expanded uncertainty stands for `guard`.
 *
 * @param value measured, in the unit of the limits
 * @param limits of the specification; at least one
 * @param expanded uncertainty U for k = 2, not negative, in the unit of the limits
 * @param guard width of the guard bands; U where nothing else was agreed
 * @throws ArgumentError where there is no limit, limits are crossed, or a figure is not finite or negative
 */
export function conformity(value: number, limits: Limits, expanded: number, guard = expanded): Conformity {
  requireFinite('value', value)
  requireOrder(limits)
  if (limits.lower === null && limits.upper === null) throw new ArgumentError('limits', 'there is none')
  for (const [name, size] of [
    ['expanded', expanded],
    ['guard', guard],
  ] as const) {
    if (!(size >= 0 && Number.isFinite(size)))
      throw new ArgumentError(name, `${size} is not a size from 0 up`)
  }
  const zones = zonesOf(limits, guard)
  const { acceptance } = zones
  const none = acceptance.lower !== null && acceptance.upper !== null && acceptance.lower > acceptance.upper
  return {
    decision: decide(value, zones),
    acceptance: none ? null : acceptance,
    probability: probabilityWithin(value, limits, expanded / 2),
  }
}

/** How many values prove what. */
export type ConformityCounts = Readonly<Record<ConformityDecision, number>>

/**
 * The decisions of `conformity` counted over many values.
 *
 * @param values in the unit of the limits
 * @throws ArgumentError as `conformity`
 */
export function conformityCounts(
  values: ArrayLike<number>,
  limits: Limits,
  expanded: number,
): ConformityCounts {
  // Checks the limits and the uncertainty.
  conformity(0, limits, expanded)
  const zones = zonesOf(limits, expanded)
  const counts = { conforming: 0, 'not conforming': 0, 'inside the uncertainty': 0 }
  for (let i = 0; i < values.length; i++) counts[decide(values[i] as number, zones)]++
  return counts
}

interface Zones {
  /** Values that are proved to conform, and values that are not proved not to. */
  readonly acceptance: Limits
  readonly reach: Limits
}

function zonesOf({ lower, upper }: Limits, guard: number): Zones {
  return {
    acceptance: {
      lower: lower === null ? null : shifted(lower, guard),
      upper: upper === null ? null : shifted(upper, -guard),
    },
    reach: {
      lower: lower === null ? null : shifted(lower, -guard),
      upper: upper === null ? null : shifted(upper, guard),
    },
  }
}

function decide(value: number, { acceptance, reach }: Zones): ConformityDecision {
  const within = ({ lower, upper }: Limits) =>
    (lower === null || value >= lower) && (upper === null || value <= upper)
  return within(acceptance) ? 'conforming' : within(reach) ? 'inside the uncertainty' : 'not conforming'
}

function probabilityWithin(value: number, { lower, upper }: Limits, standard: number): number {
  if (standard === 0) {
    return (lower === null || value >= lower) && (upper === null || value <= upper) ? 1 : 0
  }
  const below = lower === null ? 0 : normalUpper((value - lower) / standard)
  const above = upper === null ? 0 : normalUpper((upper - value) / standard)
  // Whichever side is the smaller is computed as itself, so that a value far outside keeps its digits.
  if (upper !== null && above > 0.5) {
    const least = lower === null ? 0 : normalLower((lower - value) / standard)
    return normalLower((upper - value) / standard) - least
  }
  if (lower !== null && below > 0.5) {
    const least = upper === null ? 0 : normalUpper((upper - value) / standard)
    return normalUpper((lower - value) / standard) - least
  }
  return Math.max(0, 1 - below - above)
}

/** A sum of decimals, so that 25.3 + 0.005 is 25.305. */
function shifted(limit: number, by: number): number {
  const size = String(Math.abs(by))
  return Number(addDecimals(String(limit), by < 0 ? negateDecimal(size) : size))
}
