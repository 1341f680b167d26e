import type { RememberedLayout } from '../store/layouts.ts'
import type { Encoding } from './decode.ts'
import { DELIMITER_IN_WORDS, DELIMITERS, type Dialect } from './dialect.ts'
import { shortened } from './faults.ts'
import type { Layout } from './layout.ts'
import { MEANING_IN_WORDS } from './meaning.ts'
import type { DecimalMark } from './numbers.ts'
import type { Delimiter } from './rows.ts'

const SHAPE_IN_WORDS = {
  'measurement-a-row': 'Read as one measurement a row.',
  'part-a-row': 'Read as one part a row, with a column for each characteristic.',
  'characteristic-a-row': 'Read as one characteristic a row, with a column for each part.',
  blocks: 'Read as blocks of one part each, under lines that name it.',
} as const

/** How a file was read, as the receipt says it; null where it could not be read as a table. */
export function dialectInWords(
  encoding: Encoding | null,
  packed: boolean,
  dialect: Dialect | null,
  mark: DecimalMark | null,
): string | null {
  if (encoding === null || dialect === null) return null
  const decimals = mark === null ? 'whole numbers' : mark === '.' ? 'decimal point' : 'decimal comma'
  return `${packed ? 'gzip, ' : ''}${encoding}, ${DELIMITER_IN_WORDS[dialect.delimiter]}, ${decimals}`
}

/** The delimiter that `dialectInWords` named; null where it named none, as for QIF. */
export function delimiterInWords(dialect: string): Delimiter | null {
  return DELIMITERS.find((delimiter) => dialect.includes(`, ${DELIMITER_IN_WORDS[delimiter]}, `)) ?? null
}

/** What the inspector should know of how the file was read, whatever came of it. */
export function readingNotes(
  encoding: Encoding | null,
  dialect: Dialect | null,
  layout: Layout | null,
): string[] {
  const notes: string[] = []
  if (encoding === 'Windows-1252') {
    notes.push('The file is not valid UTF-8 and was read as Windows-1252. Check names with accents or signs.')
  }
  if (dialect === null) return notes
  const { recordsAbove, columns } = dialect
  const grid = layout?.found?.grid ?? null
  if (grid?.kind === 'gauge-study') notes.push('Read as one part a row, with several readings of it.')
  else if (grid !== null) notes.push(SHAPE_IN_WORDS[grid.shape])
  const context = [...(layout?.found?.context ?? [])]
  if (context.length > 0) {
    const list = context
      .map(([meaning, text]) => `${MEANING_IN_WORDS[meaning]} ${shortened(text)}`)
      .join(', ')
    notes.push(`Read from the lines above the headings: ${list}.`)
  } else if (recordsAbove > 0 && grid === null) {
    notes.push(`${recordsAbove} ${recordsAbove === 1 ? 'line' : 'lines'} above the headings passed over.`)
  }
  const [headings, roles] = [layout?.headings ?? columns.headings, layout?.roles ?? columns.meanings]
  // The order of measuring on our own sheet is for whoever measures, and for nobody else.
  const isOurSheet = columns.meanings.includes('studyPlan')
  const unknown = headings.filter(
    (heading, i) => roles[i] === null && heading !== '' && !(isOurSheet && heading === 'order'),
  )
  if (unknown.length > 0) {
    const list = unknown.map(shortened).join(', ')
    notes.push(
      columns.kind === 'builds' || columns.kind === 'furnace-loads'
        ? `Kept as conditions: ${list}.`
        : `Columns passed over because their headings are not known: ${list}.`,
    )
  }
  return notes
}

/** That the file was read as someone decided for an earlier one. */
export function rememberedNotes(remembered: RememberedLayout | null): string[] {
  if (remembered === null) return []
  const { choices, who, at } = remembered
  const day = new Date(at * 1000).toISOString().slice(0, 10)
  const part = choices.partNumber === undefined ? '' : ` Its parts are of part number ${choices.partNumber}.`
  return [`Read as ${who} decided on ${day} for files of this layout.${part}`]
}
