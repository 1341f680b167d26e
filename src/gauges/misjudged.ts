import type { Limits } from '../capability/indices.ts'
import { requireOrder } from '../capability/limits-order.ts'
import { normalDensity, normalLower, normalUpper, normalWithin } from '../distributions/normal.ts'
import { ArgumentError } from '../errors.ts'
import { requireFinite, requirePositive } from '../numbers/argument-checks.ts'
import { gaussLegendre, integrate } from '../numbers/gauss-legendre.ts'

/** Parts and gauge: true values are normal, and so are errors of measuring, independent of them. */
export interface MeasuredProcess {
  /** Mean and standard deviation of the parts' true values; the standard deviation above 0. */
  readonly mean: number
  readonly partSd: number
  /** Mean and standard deviation of the error; the standard deviation above 0. */
  readonly bias: number
  readonly gaugeSd: number
}

/** Shares of all parts, 0 to 1, but for the last two. */
export interface Misjudged {
  /** Outside the limits and accepted. */
  readonly wronglyAccepted: number
  /** Inside the limits and rejected. */
  readonly wronglyRejected: number
  /** Share of parts truly outside. */
  readonly outside: number
  readonly accepted: number
  /** Of the parts accepted, the share that is outside; null where none is accepted. */
  readonly outsideAmongAccepted: number | null
  /** Of the parts rejected, the share that is inside; null where none is rejected. */
  readonly insideAmongRejected: number | null
}

/**
 * Shares of parts that inspection misjudges, by integrating the bivariate normal distribution of true and measured
 * value. Small shares keep their digits: each is a sum of positive terms.
 *
 * Source: R. K. Burdick, C. M. Borror and D. C. Montgomery, Design and Analysis of Gauge R&R Studies (2005), section
 * 1.6; JCGM 106:2012, section 9, where the shares are the global consumer's and producer's risk.
 *
 * @param limits of the specification; at least one
 * @param acceptance limits that measured values are judged by; those of the specification, or narrowed by guard bands.
 *   Null where no value is accepted
 * @throws ArgumentError where there is no limit, limits are crossed, or a figure is out of range
 */
export function misjudged(
  process: MeasuredProcess,
  limits: Limits,
  acceptance: Limits | null = limits,
): Misjudged {
  const { mean, partSd, bias, gaugeSd } = process
  requireFinite('mean', mean)
  requireFinite('bias', bias)
  requirePositive('partSd', partSd)
  requirePositive('gaugeSd', gaugeSd)
  requireOrder(limits)
  if (acceptance !== null) requireOrder(acceptance)
  if (limits.lower === null && limits.upper === null) throw new ArgumentError('limits', 'there is none')
  // Everything in standard deviations of the parts from their mean.
  const place = (limit: number | null, shift: number) =>
    limit === null ? null : (limit - mean - shift) / partSd
  const spec = { lower: place(limits.lower, 0), upper: place(limits.upper, 0) }
  const zone =
    acceptance === null
      ? null
      : { lower: place(acceptance.lower, bias), upper: place(acceptance.upper, bias) }
  const s = gaugeSd / partSd
  const acceptedAt = (x: number) => (zone === null ? 0 : within(zone, x, s))
  const rejectedAt = (x: number) => (zone === null ? 1 : without(zone, x, s))
  const breaks = panels([spec.lower, spec.upper, zone?.lower ?? null, zone?.upper ?? null], s)
  const total = (f: (x: number) => number, inside: boolean) => {
    let sum = 0
    for (let i = 1; i < breaks.length; i++) {
      const [from, to] = [breaks[i - 1] as number, breaks[i] as number]
      const middle = (from + to) / 2
      const isInside =
        (spec.lower === null || middle > spec.lower) && (spec.upper === null || middle < spec.upper)
      if (isInside === inside) sum += integrate((x) => normalDensity(x) * f(x), from, to, RULE)
    }
    return sum
  }
  const wronglyAccepted = total(acceptedAt, false)
  const wronglyRejected = total(rejectedAt, true)
  const rightlyAccepted = total(acceptedAt, true)
  const rightlyRejected = total(rejectedAt, false)
  const accepted = wronglyAccepted + rightlyAccepted
  const rejected = wronglyRejected + rightlyRejected
  return {
    wronglyAccepted,
    wronglyRejected,
    outside: wronglyAccepted + rightlyRejected,
    accepted,
    outsideAmongAccepted: accepted > 0 ? wronglyAccepted / accepted : null,
    insideAmongRejected: rejected > 0 ? wronglyRejected / rejected : null,
  }
}

const RULE = gaussLegendre(16)

/** True values farther from the mean than this, in standard deviations, have a density below the least double. */
const REACH = 38

/** Ends of panels on which density and acceptance are smooth: whole sigmas, and close steps around every limit. */
function panels(limits: readonly (number | null)[], s: number): number[] {
  const ends = Array.from({ length: 2 * REACH + 1 }, (_, i) => i - REACH)
  for (const limit of limits) {
    if (limit === null) continue
    for (const step of [0, 1, 2, 3, 4, 6, 8, 10, 15, 20, 30, 40])
      ends.push(limit - step * s, limit + step * s)
  }
  return [...new Set(ends.filter((x) => Math.abs(x) <= REACH))].sort((a, b) => a - b)
}

/** Probability that a true value x is measured inside. */
function within({ lower, upper }: Limits, x: number, s: number): number {
  if (lower === null) return upper === null ? 1 : normalLower((upper - x) / s)
  if (upper === null) return normalUpper((lower - x) / s)
  return normalWithin(((lower + upper) / 2 - x) / s, (upper - lower) / 2 / s)
}

/** Probability that a true value x is measured outside. */
function without({ lower, upper }: Limits, x: number, s: number): number {
  const below = lower === null ? 0 : normalLower((lower - x) / s)
  const above = upper === null ? 0 : normalUpper((upper - x) / s)
  return below + above
}
