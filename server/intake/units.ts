import type { Unit } from '../../src/domain/characteristic.ts'
import { divideDecimals, multiplyDecimals } from '../../src/numbers/decimal.ts'

const WRITTEN: Readonly<Record<string, Unit>> = {
  mm: 'mm',
  millimetre: 'mm',
  millimetres: 'mm',
  millimeter: 'mm',
  millimeters: 'mm',
  in: 'in',
  inch: 'in',
  inches: 'in',
  '"': 'in',
  um: 'um',
  // U+00B5 micro sign and U+03BC Greek mu
  µm: 'um',
  μm: 'um',
  micron: 'um',
  microns: 'um',
  micrometre: 'um',
  micrometres: 'um',
  micrometer: 'um',
  micrometers: 'um',
  deg: 'deg',
  degree: 'deg',
  degrees: 'deg',
  '°': 'deg',
}

/** The unit written in a field; null where it is none that values may carry. */
export function readUnit(text: string): Unit | null {
  const plain = text.trim().toLowerCase().replace(/\.$/, '')
  return Object.hasOwn(WRITTEN, plain) ? (WRITTEN[plain] as Unit) : null
}

/** Micrometres in one of the unit, exactly: 1 in is 25.4 mm by definition (ISO 80000-3). */
const IN_MICROMETRES: Readonly<Record<Exclude<Unit, 'deg'>, string>> = { mm: '1000', in: '25400', um: '1' }

/**
 * A written number in another unit, as text: exact where the result ends within 25 digits, cut off there
 * where it does not. Null where the units do not measure the same thing.
 */
export function convertWritten(text: string, from: Unit, to: Unit): string | null {
  if (from === to) return text
  if (from === 'deg' || to === 'deg') return null
  return divideDecimals(multiplyDecimals(text, IN_MICROMETRES[from]), IN_MICROMETRES[to], 25)
}
