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

/** What is smaller is what rounding leaves of nothing. */
const ROUNDING = 1e-12

/** A figure in a cell of a table: what its decimals would show as zero has a power of ten, "2.00e−7". */
export function cellText(value: number, decimals: number): string {
  const text = formatNumber(value, decimals)
  const isHidden = decimals > 0 && Math.abs(value) > ROUNDING && Number(text.replace('−', '-')) === 0
  return isHidden ? value.toExponential(2).replaceAll('-', '−') : text
}
