import { formatCount, formatNumber } from '../../src/words/format.ts'

/** A figure that is no index: what is above zero is never shown as zero. */
export function figureText(value: number | null, decimals: number): string {
  if (value === null) return '–'
  // Of thousands of parts per million a tenth says nothing.
  if (decimals === 1 && value >= 1000) return formatCount(Math.round(value))
  const least = 10 ** -decimals
  return value > 0 && value < least / 2
    ? `below ${formatNumber(least, decimals)}`
    : formatNumber(value, decimals)
}

/** Both ends of an interval, once where they are shown alike. */
export function spanText(lower: number, upper: number, decimals: number): string {
  const [from, to] = [figureText(lower, decimals), figureText(upper, decimals)]
  return from === to ? from : `${from} to ${to}`
}
