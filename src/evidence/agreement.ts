/** As many decimal digits as a double can be relied on to hold. */
const DIGITS_OF_A_DOUBLE = 15

interface Printed {
  /** Significant digits. */
  readonly digits: number
  /** Value of one unit in the last place. */
  readonly unit: number
}

/** @param text a decimal number, with an exponent or without */
function printed(text: string): Printed {
  const [, whole = '', decimals = '', exponent = '0'] =
    /^[+-]?(\d*)(?:\.(\d*))?(?:[eE]([+-]?\d+))?$/.exec(text) ?? []
  const significant = `${whole}${decimals}`.replace(/^0+/, '')
  // Written out, so that 10 ** −14 does not come out a digit off.
  return { digits: Math.max(1, significant.length), unit: Number(`1e${Number(exponent) - decimals.length}`) }
}

/** Digits that a figure as printed claims; an exact one claims all that a double holds. */
export function digitsPublished(text: string, exact: boolean): number {
  return exact ? DIGITS_OF_A_DOUBLE : Math.min(DIGITS_OF_A_DOUBLE, printed(text).digits)
}

/**
 * Digits in which a computed figure agrees with a published one: minus the decimal logarithm of the relative
 * difference, as NIST counts them, from 0 to those that are published. A figure that rounds to what is printed, a half
 * either way, agrees in all.
 */
export function digitsAgreed(computed: number, published: string, exact: boolean): number {
  const value = Number(published)
  const all = digitsPublished(published, exact)
  const difference = Math.abs(computed - value)
  if (Number.isNaN(difference)) return 0
  const rounding = exact ? 0 : (printed(published).unit / 2) * (1 + 1e-9)
  if (difference <= rounding) return all
  return value === 0 ? 0 : Math.max(0, Math.min(all, -Math.log10(difference / Math.abs(value))))
}
