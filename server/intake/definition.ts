import { convertWritten } from '../../src/checks/convert-written.ts'
import {
  type Axis,
  type CharacteristicKind,
  KINDS_WITH_FLOOR,
  type WrittenUnit,
} from '../../src/domain/characteristic.ts'
import { addDecimals, negateDecimal } from '../../src/numbers/decimal.ts'
import type { CharacteristicTable } from '../store/schema.ts'
import type { Fault } from './faults.ts'
import type { Columns } from './headings.ts'
import type { Meaning } from './meaning.ts'
import type { NumberReader } from './numbers.ts'
import { field } from './row-checker.ts'
import { readUnit, splitUnit } from './units.ts'

/** Fields of a row that define a characteristic; empty where the row does not say. */
export interface DefinitionTexts {
  readonly kind: string
  readonly axis: string
  readonly unit: string
  readonly nominal: string
  readonly lower: string
  readonly upper: string
  readonly tolerance: string
  readonly plusTolerance: string
  readonly minusTolerance: string
}

export function definitionTexts(
  row: readonly string[],
  at: Readonly<Record<Meaning, number>>,
  columns: Columns,
): DefinitionTexts {
  return {
    kind: field(row, at.kind),
    axis: field(row, at.axis),
    unit: field(row, at.unit) || (columns.headingUnit ?? ''),
    nominal: field(row, at.nominal),
    lower: field(row, at.lower),
    upper: field(row, at.upper),
    tolerance: field(row, at.tolerance),
    plusTolerance: field(row, at.plusTolerance),
    minusTolerance: field(row, at.minusTolerance),
  }
}

/** What a row says of a characteristic. Numbers stay as written, in `unit`, so that nothing is lost yet. */
export interface Definition {
  readonly kind: CharacteristicKind | null
  readonly axis: Axis | null
  readonly unit: WrittenUnit | null
  readonly nominal: string | null
  readonly lower: string | null
  readonly upper: string | null
  /** True where a lower limit at or below zero was left off a kind that cannot go below zero. */
  readonly floorLeftOff: boolean
}

const KINDS: Readonly<Record<string, CharacteristicKind>> = {
  length: 'length',
  distance: 'length',
  width: 'length',
  height: 'length',
  diameter: 'diameter',
  dia: 'diameter',
  thickness: 'thickness',
  wall: 'thickness',
  'wall thickness': 'thickness',
  angle: 'angle',
  flatness: 'flatness',
  position: 'position',
  'true position': 'position',
  roundness: 'roundness',
  circularity: 'roundness',
  straightness: 'straightness',
  parallelism: 'parallelism',
  perpendicularity: 'perpendicularity',
  squareness: 'perpendicularity',
  profile: 'profile',
  'surface profile': 'profile',
  roughness: 'roughness',
  'surface roughness': 'roughness',
  other: 'other',
  länge: 'length',
  abstand: 'length',
  breite: 'length',
  höhe: 'length',
  durchmesser: 'diameter',
  dicke: 'thickness',
  wandstärke: 'thickness',
  winkel: 'angle',
  ebenheit: 'flatness',
  rundheit: 'roundness',
  geradheit: 'straightness',
  parallelität: 'parallelism',
  rechtwinkligkeit: 'perpendicularity',
  rauheit: 'roughness',
  longueur: 'length',
  diamètre: 'diameter',
  épaisseur: 'thickness',
  planéité: 'flatness',
  circularité: 'roundness',
  rectitude: 'straightness',
  parallélisme: 'parallelism',
  perpendicularité: 'perpendicularity',
  rugosité: 'roughness',
  lunghezza: 'length',
  diametro: 'diameter',
  spessore: 'thickness',
  angolo: 'angle',
  planarità: 'flatness',
  posizione: 'position',
  circolarità: 'roundness',
  rettilineità: 'straightness',
  parallelismo: 'parallelism',
  perpendicolarità: 'perpendicularity',
  rugosità: 'roughness',
  longitud: 'length',
  diámetro: 'diameter',
  espesor: 'thickness',
  ángulo: 'angle',
  planitud: 'flatness',
  posición: 'position',
  redondez: 'roundness',
  rectitud: 'straightness',
  perpendicularidad: 'perpendicularity',
  rugosidad: 'roughness',
}

const AXES: Readonly<Record<string, Axis | null>> = {
  x: 'X',
  y: 'Y',
  z: 'Z',
  none: null,
  '-': null,
  '–': null,
}

export function isFault(result: object): result is Fault {
  return 'reason' in result
}

/**
 * What the fields say, with limits added up from nominal and tolerances as decimals.
 * A sign written before a plus or minus tolerance is followed; without one, plus adds and minus takes off.
 *
 * @param isZone true where a tolerance without a nominal is the width of a zone, whatever kind the row says
 */
export function readDefinition(
  given: DefinitionTexts,
  numbers: NumberReader,
  isZone = false,
): Definition | Fault {
  const texts = takenApart(given)
  if (isFault(texts)) return texts
  const fault = (meaning: Meaning, reason: string): Fault => ({
    meaning,
    value: given[meaning as keyof DefinitionTexts],
    reason,
  })

  const kindText = texts.kind.toLowerCase().replace(/[_-]+/g, ' ')
  if (kindText !== '' && !Object.hasOwn(KINDS, kindText)) {
    return fault(
      'kind',
      `This kind is not known. Known are ${[...new Set(Object.values(KINDS))].join(', ')}.`,
    )
  }
  const axisText = texts.axis.toLowerCase()
  if (axisText !== '' && !Object.hasOwn(AXES, axisText)) {
    return fault('axis', 'An axis is X, Y, Z or none.')
  }
  const unit = texts.unit === '' ? null : readUnit(texts.unit)
  if (texts.unit !== '' && unit === null) {
    return fault('unit', 'This unit is not known. Known are mm, in, um and deg.')
  }
  const kind = kindText === '' ? (unit === 'deg' ? 'angle' : null) : (KINDS[kindText] as CharacteristicKind)

  const written: Partial<Record<Meaning, string | null>> = {}
  for (const meaning of NUMBERS) {
    const text = texts[meaning].replace(BOTH_SIDES, '')
    if (text === '') {
      written[meaning] = null
      continue
    }
    if (Number.isNaN(numbers.read(text))) return fault(meaning, numbers.reason)
    written[meaning] = numbers.readDecimal(text)
  }
  const { nominal = null, tolerance = null, plusTolerance = null, minusTolerance = null } = written
  let { lower = null, upper = null } = written

  const withTolerance = (['tolerance', 'plusTolerance', 'minusTolerance'] as const).find(
    (m) => written[m] !== null,
  )
  let toleranceBelow: string | null = null
  let toleranceAbove: string | null = null
  if (withTolerance === 'tolerance' && nominal === null && (isZone || isFloored(kind))) {
    // The tolerance of a form or position is the width of its zone.
    if (Number(tolerance) < 0) return fault('tolerance', 'The width of a tolerance zone cannot be negative.')
    toleranceAbove = tolerance
  } else if (withTolerance !== undefined) {
    if (nominal === null) return fault(withTolerance, 'A tolerance needs a nominal to be added to.')
    if (tolerance !== null) {
      if (Number(tolerance) < 0) return fault('tolerance', 'A tolerance on both sides cannot be negative.')
      toleranceAbove = addDecimals(nominal, tolerance)
      toleranceBelow = addDecimals(nominal, negateDecimal(tolerance))
    }
    if (plusTolerance !== null) toleranceAbove = addDecimals(nominal, plusTolerance)
    if (minusTolerance !== null) {
      const signed = /^[+\-−–]/.test(texts.minusTolerance)
      toleranceBelow = addDecimals(nominal, signed ? minusTolerance : negateDecimal(minusTolerance))
    }
  }
  if (lower !== null && toleranceBelow !== null && Number(lower) !== Number(toleranceBelow)) {
    return fault('lower', `The lower limit is ${lower}, but nominal and tolerance make it ${toleranceBelow}.`)
  }
  if (upper !== null && toleranceAbove !== null && Number(upper) !== Number(toleranceAbove)) {
    return fault('upper', `The upper limit is ${upper}, but nominal and tolerance make it ${toleranceAbove}.`)
  }
  lower ??= toleranceBelow
  upper ??= toleranceAbove
  const floorLeftOff = isFloored(kind) && lower !== null && Number(lower) <= 0
  if (floorLeftOff) lower = null
  if (lower !== null && upper !== null && Number(upper) < Number(lower)) {
    return fault(
      texts.upper === '' ? (withTolerance ?? 'upper') : 'upper',
      `The upper limit ${upper} is below the lower limit ${lower}.`,
    )
  }
  const axis = AXES[axisText] ?? null
  return { kind, axis, unit, nominal, lower, upper, floorLeftOff }
}

function isFloored(kind: CharacteristicKind | null): boolean {
  return kind !== null && KINDS_WITH_FLOOR.has(kind)
}

const BOTH_SIDES = /^(±|\+\s*\/\s*[-−–]|\+[-−–])\s*/
/** "42 ±0.1" and "42 +0.1/-0.05": a nominal with its tolerance behind it. */
const WITH_TOLERANCE = /^([+\-−–]?\d[\d.,]*)\s*((?:±|\+\s*\/?\s*[-−–]).*|\+\s*\d.*)$/
/** "+0.1/-0.05", "+0.1 -0.05", "+0.2/+0.1": the upper deviation and the lower one. */
const TWO_SIDES = /^([+\-−–]\s*[\d.,]+|0)\s*[/;|]?\s*([+\-−–]\s*[\d.,]+|0)$/

/** The texts with units behind numbers, and tolerances behind nominals or for both sides, each in its place. */
function takenApart(given: DefinitionTexts): DefinitionTexts | Fault {
  const texts = { ...given }
  for (const meaning of NUMBERS) {
    const parts = splitUnit(texts[meaning].replace(BOTH_SIDES, ''))
    if (parts === null) continue
    if (texts.unit !== '' && readUnit(texts.unit) !== parts.unit) {
      return {
        meaning,
        value: given[meaning],
        reason: `The number says ${parts.unit}, but the row says ${texts.unit}. Correct whichever is wrong.`,
      }
    }
    texts.unit = parts.unit
    texts[meaning] = parts.number
  }
  if (texts.tolerance === '' && texts.plusTolerance === '' && texts.minusTolerance === '') {
    const match = WITH_TOLERANCE.exec(texts.nominal)
    if (match !== null) {
      texts.nominal = match[1] as string
      texts.tolerance = match[2] as string
    }
  }
  const sides = TWO_SIDES.exec(texts.tolerance)
  if (sides !== null && texts.plusTolerance === '' && texts.minusTolerance === '') {
    const plain = (side: string) => side.replace(/\s/g, '')
    texts.tolerance = ''
    texts.plusTolerance = plain(sides[1] as string)
    // A zero needs no sign to be known from a tolerance that is taken off.
    texts.minusTolerance = plain(sides[2] as string)
  }
  return texts
}

const NUMBERS = ['nominal', 'lower', 'upper', 'tolerance', 'plusTolerance', 'minusTolerance'] as const

/** True where the row says more than a name: it can create a characteristic. */
export function defines({ nominal, lower, upper }: Definition): boolean {
  return nominal !== null || lower !== null || upper !== null
}

/** True where a characteristic on record has neither nominal nor limits yet. */
export function lacksDefinition({ nominal, lower, upper }: CharacteristicTable): boolean {
  return nominal === null && lower === null && upper === null
}

/** A number of the definition in the unit of the record; null where it is absent or cannot be converted. */
export function numberIn(
  unit: WrittenUnit,
  definition: Definition,
  field: 'nominal' | 'lower' | 'upper',
): number | null {
  const text = definition[field]
  if (text === null) return null
  const converted = convertWritten(text, definition.unit ?? unit, unit)
  return converted === null ? null : Number(converted)
}

/**
 * Where a row speaks of a characteristic otherwise than the record does; null where it agrees, says nothing
 * of it, or the record has neither nominal nor limits yet.
 *
 * @param isOwn whether what the row says there is a limit of the part's own, which differs as it likes
 */
export function differenceFrom(
  recorded: CharacteristicTable,
  definition: Definition,
  convertUnits: boolean,
  isOwn: (field: 'nominal' | 'lower' | 'upper') => boolean = () => false,
): { readonly fault: Fault; readonly couldConvert: boolean } | null {
  const undefinedYet = lacksDefinition(recorded)
  for (const field of ['nominal', 'lower', 'upper'] as const) {
    const written = definition[field]
    if (written === null || isOwn(field)) continue
    if (field === 'lower' && KINDS_WITH_FLOOR.has(recorded.kind) && Number(written) <= 0) continue
    const given = definition.unit ?? recorded.unit
    const number = numberIn(recorded.unit, definition, field)
    if (given !== recorded.unit && (number === null || !convertUnits)) {
      return {
        fault: {
          meaning: field,
          value: written,
          reason: `Characteristic ${recorded.designator} is on record in ${recorded.unit}, but the row gives its ${IN_WORDS[field]} in ${given}${number === null ? '' : `: ${written} ${given} is ${number} ${recorded.unit}. Choose to convert units if the file is right`}.`,
        },
        couldConvert: number !== null,
      }
    }
    if (undefinedYet || number === recorded[field]) continue
    return {
      fault: {
        meaning: field,
        value: written,
        reason: `The ${IN_WORDS[field]} of characteristic ${recorded.designator} is ${recorded[field] ?? 'absent'} on record, but the row says ${number}. Correct the file, or take the parts in under a new revision if the drawing changed.${field === 'nominal' ? '' : ` Where each part has a limit of its own, as with a bonus at maximum material condition, say so: take the column for the ${IN_WORDS[field]} of the part’s own.`}`,
      },
      couldConvert: false,
    }
  }
  return null
}

const IN_WORDS = { nominal: 'nominal', lower: 'lower limit', upper: 'upper limit' } as const
