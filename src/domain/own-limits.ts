import type { Limits } from '../capability/indices.ts'

/**
 * Limits of a part's own: a position tolerance at maximum material condition grows by as much as the part's hole departs
 * from its maximum material size (ISO 2692, ASME Y14.5; from memory), so that one limit does for no two parts. Values of
 * such a characteristic are judged, charted and summed up in units of the part's own tolerance, in which the limits of
 * all parts are the same.
 */

/** Which limits each part of a characteristic brings. */
export type LimitSides = 'upper' | 'lower' | 'both'

/**
 * The limits in units of the part's own tolerance: 1 is the upper limit or, where there is none, the lower one; with
 * both, −1 is the lower limit, 0 the middle between them and 1 the upper limit.
 */
export function limitsInOwnTolerance(sides: LimitSides): Limits {
  switch (sides) {
    case 'upper':
      return { lower: null, upper: 1 }
    case 'lower':
      return { lower: 1, upper: null }
    case 'both':
      return { lower: -1, upper: 1 }
  }
}

/**
 * What one of the part's own tolerance is in the unit of the value: the one limit, or half the way between both.
 *
 * @returns null where the limits allow no tolerance: one limit at or below zero, or both not in order
 */
export function ownTolerance({ lower, upper }: Limits): number | null {
  const size = lower === null ? upper : upper === null ? lower : (upper - lower) / 2
  return size !== null && size > 0 && Number.isFinite(size) ? size : null
}

/**
 * The value in units of the part's own tolerance. A value exactly on a limit is exactly on it here too, and one beyond a
 * limit is beyond it, whatever the division rounds to.
 *
 * @param value in the unit of the limits
 * @returns null where the limits allow no tolerance
 */
export function inOwnTolerance(value: number, limits: Limits): number | null {
  const { lower, upper } = limits
  const size = ownTolerance(limits)
  if (size === null) return null
  if (value === upper) return 1
  if (value === lower) return upper === null ? 1 : -1
  const plain = lower === null || upper === null ? value / size : (value - (lower + size)) / size
  if (upper !== null && value > upper) return Math.max(plain, 1 + Number.EPSILON)
  if (lower !== null && value < lower) {
    return upper === null ? Math.min(plain, 1 - Number.EPSILON / 2) : Math.min(plain, -1 - Number.EPSILON)
  }
  if (upper === null) return Math.max(plain, 1)
  return lower === null ? Math.min(plain, 1) : Math.min(Math.max(plain, -1), 1)
}
