import type { WrittenUnit } from '../../src/domain/characteristic.ts'

const WRITTEN: Readonly<Record<string, WrittenUnit>> = {
  mm: 'mm',
  millimetre: 'mm',
  millimetres: 'mm',
  millimeter: 'mm',
  millimeters: 'mm',
  in: 'in',
  inch: 'in',
  inches: 'in',
  '"': 'in',
  '″': 'in',
  '”': 'in',
  zoll: 'in',
  pouce: 'in',
  pouces: 'in',
  pollici: 'in',
  pulgada: 'in',
  pulgadas: 'in',
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
  grad: 'deg',
  degre: 'deg',
  degres: 'deg',
  degré: 'deg',
  degrés: 'deg',
  gradi: 'deg',
  grado: 'deg',
  grados: 'deg',
  '°': 'deg',
}

/** The unit written in a field; null where it is none that values may carry. */
export function readUnit(text: string): WrittenUnit | null {
  const plain = text.trim().toLowerCase().replace(/\.$/, '')
  return Object.hasOwn(WRITTEN, plain) ? (WRITTEN[plain] as WrittenUnit) : null
}

/** A field that holds a number with its unit behind it, taken apart; null where no known unit is behind a number. */
export function splitUnit(text: string): { readonly number: string; readonly unit: WrittenUnit } | null {
  const last = text.charCodeAt(text.length - 1)
  // Nearly every field ends in a digit.
  if (last >= 48 && last <= 57) return null
  const match =
    /^([+\-−–]?[\d.,][\d.,'’ \u00a0\u2009\u202f]*?(?:[eE][+-]?\d{1,3})?)\s*(\p{Letter}+\.?|["″”°])$/u.exec(
      text,
    )
  if (match === null) return null
  const unit = readUnit(match[2] as string)
  return unit === null ? null : { number: (match[1] as string).trim(), unit }
}
