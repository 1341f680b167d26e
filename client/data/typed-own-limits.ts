import type { Limits } from '../../src/capability/indices.ts'
import type { Characteristic } from '../../src/domain/characteristic.ts'
import { ownTolerance } from '../../src/domain/own-limits.ts'
import { addDecimals } from '../../src/numbers/decimal.ts'
import { decimalOf, type TypedRow } from './typed-sheet.ts'

/** What is typed of a part's own limits beside its value, as the file of a sheet heads it. */
export type OwnField = 'bonus' | 'own_lower_limit' | 'own_upper_limit'

export const OWN_FIELDS: readonly OwnField[] = ['bonus', 'own_lower_limit', 'own_upper_limit']

export const OWN_FIELD_WORDS: Readonly<Record<OwnField, string>> = {
  bonus: 'bonus',
  own_lower_limit: 'lower limit of the part',
  own_upper_limit: 'upper limit of the part',
}

/**
 * What has to be typed beside a value: the bonus where the drawing states the tolerance that it is added to, else each
 * limit that the parts bring; nothing where values are judged by the drawing.
 */
export function ownFields({ ownLimits }: Characteristic): readonly OwnField[] {
  if (ownLimits === undefined) return []
  const { sides, upper } = ownLimits
  if (sides === 'upper') return upper === null ? ['own_upper_limit'] : ['bonus']
  return sides === 'lower' ? ['own_lower_limit'] : ['own_lower_limit', 'own_upper_limit']
}

// Names of characteristics come from lines of files, and hold no such sign.
const APART = '\u0000'

/** What a row calls the cell of such a field. */
export function ownCell(designator: string, field: OwnField): string {
  return `${designator}${APART}${field}`
}

/** The characteristic that a cell of a row belongs to. */
export function designatorOf(cell: string): string {
  return cell.split(APART)[0] as string
}

/** A field that keeps the limits of a part from being known, and why. */
export interface OwnFault {
  readonly field: OwnField
  readonly text: string
}

/**
 * The limits of the part's own that a row gives for a characteristic that takes them, in the unit that they are written
 * in.
 */
export function typedLimits(characteristic: Characteristic, { cells }: TypedRow): Limits | OwnFault {
  const { designator, ownLimits: stated } = characteristic
  const limits: { lower: number | null; upper: number | null } = { lower: null, upper: null }
  for (const field of ownFields(characteristic)) {
    const text = cells[ownCell(designator, field)]?.text ?? ''
    const decimal = decimalOf(text)
    if (text.trim() === '') {
      return {
        field,
        text:
          field === 'bonus'
            ? 'The bonus is missing: one of 0 is typed as 0.'
            : `The ${OWN_FIELD_WORDS[field]} is missing.`,
      }
    }
    if (decimal === null) return { field, text: `“${text}” is not a number.` }
    const number = Number(decimal)
    if (field === 'bonus') {
      if (number < 0) return { field, text: 'A bonus cannot be below zero.' }
      limits.upper = Number(addDecimals(String(stated?.upper), decimal))
      continue
    }
    const side = field === 'own_upper_limit' ? 'upper' : 'lower'
    limits[side] = number
    const least = stated?.[side] ?? null
    if (least !== null && (side === 'upper' ? number < least : number > least)) {
      return { field, text: `The limit is tighter than the ${least} of the drawing.` }
    }
  }
  if (ownTolerance(limits) !== null) return limits
  const [field] = ownFields(characteristic).slice(-1) as [OwnField]
  return { field, text: 'The limits allow no tolerance.' }
}

export function isOwnFault(found: Limits | OwnFault): found is OwnFault {
  return 'field' in found
}
