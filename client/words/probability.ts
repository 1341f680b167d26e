import { formatNumber } from '../../src/words/format.ts'

/** A probability behind a letter p: "= 0.032", or "< 0.0001". */
export function probabilityText(p: number): string {
  return p < 0.0001 ? '< 0.0001' : `= ${formatNumber(p, p < 0.01 ? 4 : 3)}`
}
