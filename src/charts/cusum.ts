import { ArgumentError } from '../errors.ts'
import { checkPoints } from './ewma.ts'

/** Both one-sided cumulative sums, parallel to the points, in standard errors. */
export interface CusumChart {
  readonly above: Float64Array
  readonly below: Float64Array
  /** Positions at which either sum is over the decision interval. */
  readonly signals: readonly number[]
}

export interface CusumSettings {
  /** Reference value k in standard errors: half the shift to be found. */
  readonly reference: number
  /** Decision interval h in standard errors. */
  readonly decision: number
  /** Where the sums start, as a fraction of h: 0 without a head start, 0.5 is usual with one. */
  readonly headStart: number
}

/**
 * Tabular CUSUM chart of points that may differ in their standard error: each is standardised by its own.
 *
 * The sums go on after a signal, so that a lasting shift stays in sight.
 *
 * Source: E. S. Page, Biometrika 41 (1954), 100–115; head start: J. M. Lucas and R. B. Crosier, Technometrics 24
 * (1982), 199–205.
 *
 * @param points k values in one unit
 * @param errors their standard errors, k values above zero in that unit
 * @throws ArgumentError where lengths differ, a value is not finite, or a setting is out of range
 */
export function cusumChart(
  points: ArrayLike<number>,
  errors: ArrayLike<number>,
  target: number,
  { reference, decision, headStart }: CusumSettings,
): CusumChart {
  checkPoints(points, errors)
  if (!(reference >= 0)) throw new ArgumentError('reference', `${reference} is below 0`)
  if (!(decision > 0)) throw new ArgumentError('decision', `${decision} is not above 0`)
  if (!(headStart >= 0 && headStart < 1))
    throw new ArgumentError('headStart', `${headStart} is not from 0 to 1`)
  const k = points.length
  const above = new Float64Array(k)
  const below = new Float64Array(k)
  const signals: number[] = []
  let high = headStart * decision
  let low = high
  for (let i = 0; i < k; i++) {
    const z = ((points[i] as number) - target) / (errors[i] as number)
    high = Math.max(0, high + z - reference)
    low = Math.max(0, low - z - reference)
    above[i] = high
    below[i] = low
    if (high > decision || low > decision) signals.push(i)
  }
  return { above, below, signals }
}
