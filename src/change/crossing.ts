import { ArgumentError } from '../errors.ts'
import type { Drift } from './drift.ts'

/** Where, after the last value, the level of a drift meets a limit, should the drift go on as it did. In units of x. */
export interface Crossing {
  /** Where the line itself meets it; null where it never does. */
  readonly at: number | null
  /** Earliest place that the confidence of the drift allows; null where it allows none. */
  readonly earliest: number | null
  /** Latest place that it allows; null where the level may never meet the limit, or none is allowed. */
  readonly latest: number | null
}

/**
 * When a drifting level will meet a limit. No place is allowed where the level moves away from the limit or has passed
 * it already. This is about the level, the middle of the values: single values, which scatter around it, pass the limit
 * earlier.
 *
 * A place u away from the centre is allowed where the line's distance from the limit there is within the line's
 * confidence limits: (level − limit + slope u)² ≤ h² (Sxx/n + u²), h being half the slope's interval. Slope and level
 * are nearly independent, and their variances stand as 1/Sxx to 1/n, since both are rank estimates of one kind. This is
 * E. C. Fieller's solution (Journal of the Royal Statistical Society B 16 (1954), 175–185) with rank estimates in the
 * place of least squares; the combination is this project's own, with its coverage simulated in the tests.
 *
 * @param limit in the unit of the values
 * @throws ArgumentError where the limit is not finite
 */
export function crossing(
  { slope, slopeLower, slopeUpper, centre, level, n, xSquares, lastX }: Drift,
  limit: number,
): Crossing {
  if (!Number.isFinite(limit)) throw new ArgumentError('limit', `${limit} is not finite`)
  const distance = limit - level
  const last = lastX - centre
  const meets = distance / slope
  const at = slope !== 0 && meets > last ? centre + meets : null
  if (slopeLower === null || slopeUpper === null) return { at, earliest: lastX, latest: null }

  // Allowed: a u² − 2 b u + c ≤ 0.
  const half = (slopeUpper - slopeLower) / 2
  const a = (slope - half) * (slope + half)
  const b = slope * distance
  const c = distance * distance - (half * half * xSquares) / n
  const discriminant = b * b - a * c
  const root = Math.sqrt(Math.max(0, discriminant))
  // Both roots without cancellation; where the quadratic degenerates one of them lies at infinity.
  const q = b + (b < 0 ? -root : root)
  const roots = [q / a, c / q].sort((left, right) => left - right) as [number, number]
  if (a > 0) {
    const [first, second] = roots
    if (!(second > last)) return { at, earliest: null, latest: null }
    return { at, earliest: centre + Math.max(first, last), latest: centre + second }
  }
  // The slope may be none at all: every place far enough off is allowed, and none is the latest.
  const allowed = (u: number) => a * u * u - 2 * b * u + c <= 0
  if (allowed(last)) return { at, earliest: lastX, latest: null }
  const beyond = roots.filter((u) => u > last && u < Number.POSITIVE_INFINITY)
  return { at, earliest: beyond.length === 0 ? null : centre + Math.min(...beyond), latest: null }
}
