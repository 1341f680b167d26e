import type { WrittenUnit } from '../../src/domain/characteristic.ts'
import type { FileKind } from '../contract/receipt.ts'
import { LIMIT_MEANINGS, type Meaning } from './meaning.ts'
import { ownLimitHeading } from './own-limit-heading.ts'
import { readUnit } from './units.ts'
import { VOCABULARIES } from './vocabulary.ts'

/** The columns of a file, once its kind is known. */
export interface Columns {
  readonly kind: FileKind
  readonly headings: readonly string[]
  /** Meaning of each column; null where the heading is not known. */
  readonly meanings: readonly (Meaning | null)[]
  /** Unit that the headings of values and limits name, as in "value (mm)"; null where they name none. */
  readonly headingUnit: WrittenUnit | null
  /** Headings that mean the same as an earlier one, which leaves open which column counts. */
  readonly repeated: readonly string[]
}

/**
 * A heading without what people write differently: case, accents, spaces, underscores, dots, brackets with a unit.
 * Signs are spelled out, since "tol +" and "tol -" differ by nothing else.
 */
export function plainHeading(heading: string): string {
  return heading
    .normalize('NFKC')
    .toLowerCase()
    .normalize('NFD')
    .replace(/\p{Mark}/gu, '')
    .replaceAll('ß', 'ss')
    .replace(/(?!^)\s*[([][^)\]]*[)\]]\s*$/, '')
    .replace(/±|\+\s*\/\s*[-−]/g, 'plusminus')
    .replace(/\+/g, 'plus')
    .replace(/^\s*[-−]|[-−]\s*$/g, 'minus')
    .replace(/[^\p{Letter}\p{Number}]/gu, '')
}

/** Meanings of each heading, in the order in which they are tried. */
interface Lookup {
  readonly first: ReadonlyMap<string, readonly Meaning[]>
  /** For headings that mean something only while no other column does. */
  readonly second: ReadonlyMap<string, readonly Meaning[]>
}

const LOOKUPS: ReadonlyMap<FileKind, Lookup> = new Map(
  (Object.keys(VOCABULARIES) as FileKind[]).map((kind) => [
    kind,
    { first: lookup(kind, 0), second: lookup(kind, 1) },
  ]),
)

function lookup(kind: FileKind, part: 0 | 1): Map<string, Meaning[]> {
  const meanings = new Map<string, Meaning[]>()
  for (const [meaning, words] of VOCABULARIES[kind]) {
    for (const word of words.split('|')[part]?.trim().split(/\s+/) ?? []) {
      const known = meanings.get(word)
      if (known === undefined) meanings.set(word, [meaning])
      else known.push(meaning)
    }
  }
  return meanings
}

/** What a word may mean in a file of measurements, the likeliest first; empty where it is not known. */
export function meaningsOf(word: string): readonly Meaning[] {
  const plain = plainHeading(word)
  const { first, second } = LOOKUPS.get('measurements') as Lookup
  return plain === '' ? [] : [...(first.get(plain) ?? []), ...(second.get(plain) ?? [])]
}

/** Columns of a file of this kind with these headings. */
export function readColumns(kind: FileKind, headings: readonly string[]): Columns {
  const { first, second } = LOOKUPS.get(kind) as Lookup
  const plain = headings.map(plainHeading)
  const meanings: (Meaning | null)[] = headings.map(() => null)
  const taken = new Set<Meaning>()
  const repeated: string[] = []
  const own = headings.map((heading) => (kind === 'measurements' ? ownLimitHeading(heading) : null))
  own.forEach((found, i) => {
    // One that names its characteristic stands beside that characteristic's values; see `find-grid.ts`.
    if (found === null || found.of !== '') return
    if (taken.has(found.meaning)) repeated.push(headings[i] as string)
    else {
      meanings[i] = found.meaning
      taken.add(found.meaning)
    }
  })
  for (const words of [first, second]) {
    plain.forEach((word, i) => {
      const possible = words.get(word)
      if (meanings[i] !== null || own[i] !== null || possible === undefined || word === '') return
      const meaning = possible.find((candidate) => !taken.has(candidate))
      if (meaning !== undefined) {
        meanings[i] = meaning
        taken.add(meaning)
      } else if (words === first) {
        repeated.push(headings[i] as string)
      }
    })
  }
  const units = new Set<WrittenUnit>()
  for (let i = 0; i < headings.length; i++) {
    const unit = headingUnit(headings[i] as string)
    if (unit !== null && IN_UNITS.has(meanings[i] as Meaning)) units.add(unit)
  }
  return {
    kind,
    headings,
    meanings,
    headingUnit: units.size === 1 ? ([...units][0] as WrittenUnit) : null,
    repeated,
  }
}

const IN_UNITS: ReadonlySet<Meaning> = new Set(['value', 'reference', 'deviation', ...LIMIT_MEANINGS])

/** The unit in brackets at the end of a heading. */
export function headingUnit(heading: string): WrittenUnit | null {
  const match = /[([]([^)\]]*)[)\]]\s*$/.exec(heading)
  return match === null ? null : readUnit(match[1] as string)
}

/** The kind of file that has these headings, with its columns; null where no kind fits. */
export function recogniseColumns(headings: readonly string[]): Columns | null {
  const study = gaugeStudyColumns(headings)
  if (study !== null) return study
  const measurements = readColumns('measurements', headings)
  // A serial number or a value says what the file is, even where it lacks something else: characteristics and
  // builds have neither, and must not be made of it.
  if (
    (['serial', 'value', 'deviation'] as const).some((meaning) => measurements.meanings.includes(meaning))
  ) {
    return missingMeanings(measurements).length === 0 ? measurements : null
  }
  let best: Columns | null = null
  for (const kind of ['characteristics', 'builds', 'furnace-loads', 'gauges'] as const) {
    const columns = readColumns(kind, headings)
    if (missingMeanings(columns).length > 0) continue
    if (best === null || countKnown(columns) > countKnown(best)) best = columns
  }
  return best
}

/** Headings that only a gauge study has, as `plainHeading` leaves them. */
const STUDY_SIGNS: ReadonlySet<string> = new Set(
  (
    'studyplan trial trialno trialnumber appraiser checkpart checkstandard ' +
    'versuch versuchnr versuchsnummer messreihe durchgang kontrollteil essai numeroessai piecedecontrole ' +
    'prova numeroprova campionedicontrollo ensayo numeroensayo piezadecontrol'
  ).split(' '),
)

/** Meanings that a gauge study has no use for: a file that holds one speaks of the process. */
const OF_THE_PROCESS: ReadonlySet<Meaning> = new Set([
  'build',
  'furnaceLoad',
  'tray',
  'trayPlace',
  'bedX',
  'bedY',
  'bedZ',
  'stage',
  'deviation',
])

/**
 * The columns of a gauge study: parts and values, and either repeated trials, a check part, known values, or the plan
 * of a measuring sheet; null where the file speaks of the process, or of neither.
 */
function gaugeStudyColumns(headings: readonly string[]): Columns | null {
  const columns = readColumns('gauge-study', headings)
  if (missingMeanings(columns).length > 0) return null
  const { meanings } = columns
  const signed = headings.some((heading, i) => meanings[i] !== null && STUDY_SIGNS.has(plainHeading(heading)))
  if (!signed && !meanings.includes('reference')) return null
  if (meanings.includes('studyPlan')) return columns
  const measured = readColumns('measurements', headings).meanings
  return measured.some((meaning) => meaning !== null && OF_THE_PROCESS.has(meaning)) ? null : columns
}

/**
 * What the columns of a gauge study hold beside its values, where these stand in several columns; null where the headings
 * name no part, or speak of the process.
 *
 * @param isValue places of the columns of values
 */
export function columnsBesideReadings(
  headings: readonly string[],
  isValue: ReadonlySet<number>,
): Columns | null {
  const others = headings.map((heading, i) => (isValue.has(i) ? '' : heading))
  const columns = readColumns('gauge-study', others)
  if (!columns.meanings.includes('studyPart') || columns.meanings.includes('value')) return null
  const measured = readColumns('measurements', others).meanings
  return measured.some((meaning) => meaning !== null && OF_THE_PROCESS.has(meaning)) ? null : columns
}

/** Number of the trial that a heading such as "Trial 2" or "Reading 2" stands for; null where it is none. */
export function trialOfHeading(heading: string): number | null {
  const match = /^(\p{Letter}+)0*([1-9]\d{0,3})$/u.exec(plainHeading(heading))
  if (match === null) return null
  const word = match[1] as string
  const meanings = LOOKUPS.get('gauge-study')?.first.get(word) ?? []
  const isReading = NUMBERED_READINGS.has(word) || meanings.includes('trial') || meanings.includes('value')
  return isReading ? Number(match[2]) : null
}

/** Words that stand for a reading only where a number counts them. */
const NUMBERED_READINGS: ReadonlySet<string> = new Set('messung ablesung lecture lettura lectura'.split(' '))

/** Number of columns with a meaning. */
export function countKnown(columns: Columns): number {
  return columns.meanings.filter((meaning) => meaning !== null).length
}

/** What a file of this kind needs and these columns do not have, in words. */
export function missingMeanings({ kind, meanings }: Columns): string[] {
  const has = (...wanted: Meaning[]) => wanted.some((meaning) => meanings.includes(meaning))
  const missing: string[] = []
  switch (kind) {
    case 'measurements':
      if (!has('serial')) missing.push('serial number')
      if (!has('characteristic', 'characteristicName')) missing.push('characteristic')
      if (!has('value', 'deviation')) missing.push('value')
      break
    case 'gauge-study':
      if (!has('studyPart')) missing.push('part')
      if (!has('value')) missing.push('value')
      break
    case 'characteristics':
      if (!has('characteristic', 'characteristicName')) missing.push('designator')
      if (!has('nominal', 'lower', 'upper')) missing.push('nominal, lower or upper limit')
      break
    case 'builds':
      if (!has('build')) missing.push('build')
      if (!hasAnyBut(meanings, 'build')) missing.push('printed at, printer, powder lot or scale factors')
      break
    case 'gauges':
      if (!has('gauge')) missing.push('gauge')
      if (!has('resolution', 'uncertainty', 'due')) missing.push('resolution, uncertainty or due date')
      break
    case 'furnace-loads':
      if (!has('furnaceLoad')) missing.push('furnace load')
      if (!hasAnyBut(meanings, 'furnaceLoad')) missing.push('sintered at, furnace, profile or atmosphere')
      break
  }
  return missing
}

function hasAnyBut(meanings: readonly (Meaning | null)[], but: Meaning): boolean {
  return meanings.some((meaning) => meaning !== null && meaning !== but)
}
