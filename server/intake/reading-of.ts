import type { Reading } from '../contract/receipt.ts'
import type { RememberedLayout } from '../store/layouts.ts'
import { shortened } from './faults.ts'
import type { Layout } from './layout.ts'
import type { LikelyRole } from './likely-roles.ts'
import { BED_MEANINGS, LIMIT_MEANINGS, MEANING_IN_WORDS, type Meaning } from './meaning.ts'
import type { Readers } from './row-checker.ts'
import { CONTEXT_MEANINGS } from './shapes/label-lines.ts'
import type { WordlessTable } from './wordless.ts'

/** What a column of a file of measurements can be taken for. */
const ROLES: Reading['roles'] = [
  { role: 'values', inWords: 'measured values' },
  ...(
    [
      ...CONTEXT_MEANINGS,
      'characteristic',
      'characteristicName',
      ...LIMIT_MEANINGS,
      'value',
      'deviation',
      ...BED_MEANINGS,
    ] satisfies Meaning[]
  ).map((role) => ({ role, inWords: MEANING_IN_WORDS[role] })),
]

/** What a column was taken for, in words; null where it is passed over or kept as a condition. */
export function roleInWords({ found, roles }: Layout, index: number): string | null {
  const role = roles[index] ?? null
  if (role !== 'values') return role === null ? null : MEANING_IN_WORDS[role]
  const properties = found?.grid.valueColumns.find((column) => column.index === index)?.properties
  const serial = properties?.get('serial')
  const of =
    serial === undefined ? `characteristic ${properties?.get('characteristic') ?? ''}` : `part ${serial}`
  return `measured values of ${shortened(of)}`
}

/** What all values of a column are of, in a table with several columns of values. */
function valuesOf(
  { found }: Layout,
  index: number,
): { readonly characteristic?: string; readonly serial?: string } {
  const properties = found?.grid.valueColumns.find((column) => column.index === index)?.properties
  const [characteristic, serial] = [properties?.get('characteristic'), properties?.get('serial')]
  return {
    ...(characteristic === undefined ? {} : { characteristic }),
    ...(serial === undefined ? {} : { serial }),
  }
}

/** The layout as the inspector is shown it. */
export function readingOf(
  layout: Layout,
  readers: Readers | null,
  remembered: RememberedLayout | null,
): Reading {
  const { dialect, found } = layout
  return {
    shape: dialect.columns.kind === 'measurements' ? (found?.grid.shape ?? 'measurement-a-row') : null,
    headingLine: layout.headingLine,
    columns: layout.headings.map((heading, i) => ({
      position: i + 1,
      heading: shortened(heading),
      role: layout.roles[i] ?? null,
      inWords: roleInWords(layout, i),
      ...valuesOf(layout, i),
    })),
    roles: ROLES,
    decimalMark: readers?.numbers.mark ?? dialect.decimalMark,
    dateOrder: dialect.dateOrder,
    values: found?.grid.values ?? (dialect.columns.meanings.includes('value') ? 'actual' : 'deviation'),
    context: [...(found?.context ?? [])].map(([meaning, text]) => ({
      role: meaning,
      inWords: MEANING_IN_WORDS[meaning],
      text: shortened(text),
    })),
    rows: layout.firstRows,
    questions: layout.questions,
    remembered: remembered && { who: remembered.who, at: remembered.at },
  }
}

/** A table of which nothing is understood, for a person to say what its columns are. */
export function readingOfWordless(
  { headingLine, headings, kinds, rows }: WordlessTable,
  likely: readonly LikelyRole[],
): Reading {
  const offered = new Set(ROLES.map(({ role }) => role))
  return {
    shape: null,
    headingLine,
    columns: kinds.map((_, i) => {
      const role = likely[i] ?? null
      return {
        position: i + 1,
        heading: shortened(headings[i] ?? ''),
        role: null,
        inWords: null,
        ...(role === null || !offered.has(role) ? {} : { likely: role }),
      }
    }),
    roles: ROLES,
    decimalMark: null,
    dateOrder: null,
    values: 'actual',
    context: [],
    rows,
    questions: [],
    remembered: null,
  }
}
