/** Where below the least value above zero those of zero are put, as a share of it. */
const PLACE = 1 / 3

/**
 * The values with those of exactly zero put a little above it, for families that have none there. A gauge that steps by
 * d shows zero for what lies below d/2, and d is about the least value above zero: where the density is level the mean
 * of what lies there is d/4, where it rises from nothing d/3. tests/reference/capability/zeros.json holds, to one in a
 * hundred of the index, what comes of it against the exact likelihood of values that are only known to lie below d/2.
 *
 * @param values none below zero, in one unit
 * @returns the values themselves where none is zero, or all are
 */
export function aboveZero(values: ArrayLike<number>): ArrayLike<number> {
  const zeros = zerosOf(values)
  if (zeros === 0 || zeros === values.length) return values
  let least = Number.POSITIVE_INFINITY
  for (let i = 0; i < values.length; i++) {
    const value = values[i] as number
    if (value !== 0 && value < least) least = value
  }
  return Float64Array.from(values, (value) => (value === 0 ? least * PLACE : value))
}

/** How many values are exactly zero. */
export function zerosOf(values: ArrayLike<number>): number {
  let zeros = 0
  for (let i = 0; i < values.length; i++) if (values[i] === 0) zeros++
  return zeros
}
