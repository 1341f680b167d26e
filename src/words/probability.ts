import { formatNumber } from './format.ts'

/** A probability behind a letter p: "= 0.032", "< 0.0001", "> 0.999": never as if it were sure. */
export function probabilityText(p: number): string {
  if (p < 0.0001) return '< 0.0001'
  if (p >= 0.9995) return '> 0.999'
  return `= ${formatNumber(p, p < 0.01 ? 4 : 3)}`
}
