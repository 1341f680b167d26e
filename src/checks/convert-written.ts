import type { WrittenUnit } from '../domain/characteristic.ts'
import { divideDecimals, multiplyDecimals } from '../numbers/decimal.ts'

/** Micrometres in one of the unit, exactly: 1 in is 25.4 mm by definition (ISO 80000-3). */
const IN_MICROMETRES: Readonly<Record<Exclude<WrittenUnit, 'deg'>, string>> = {
  mm: '1000',
  in: '25400',
  um: '1',
}

/**
 * A written number in another unit, as text: exact where the result ends within 25 digits, cut off there
 * where it does not. Null where the units do not measure the same thing.
 */
export function convertWritten(text: string, from: WrittenUnit, to: WrittenUnit): string | null {
  if (from === to) return text
  if (from === 'deg' || to === 'deg') return null
  return divideDecimals(multiplyDecimals(text, IN_MICROMETRES[from]), IN_MICROMETRES[to], 25)
}
