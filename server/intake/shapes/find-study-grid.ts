import { columnsBesideReadings, headingUnit, trialOfHeading } from '../headings.ts'
import type { Meaning } from '../meaning.ts'
import { looksNumeric } from '../numbers.ts'
import type { FoundGrid, KnownNames } from './found-grid.ts'
import { contextOf, type ValueColumn } from './grid.ts'
import { labelPairs, STUDY_CONTEXT_MEANINGS } from './label-lines.ts'

/** Records below the headings that are looked at. */
const LOOKED_AT = 100

/**
 * The gauge study whose headings are the record at `at`, one part, or one part of one inspector, a row: a column for each
 * trial ("Trial 1", "Trial 2"), or one for each of two gauges or more that are on record. Null where it is none.
 */
export function studyGridAt(
  records: readonly (readonly string[])[],
  at: number,
  known: KnownNames,
): FoundGrid | null {
  const headings = (records[at] as readonly string[]).map((heading) => heading.trim())
  const readings = readingColumns(headings, known)
  const isValue = new Set(readings.map(({ index }) => index))
  const beside = isValue.size < 2 ? null : columnsBesideReadings(headings, isValue)
  if (beside === null) return null
  const body = records.slice(at + 1, at + 1 + LOOKED_AT)
  if (!readings.every(({ index }) => body.some((record) => looksNumeric(record[index] ?? '')))) return null
  const contextRecords = records
    .slice(0, at)
    .filter((record) => labelPairs(record, undefined, STUDY_CONTEXT_MEANINGS) !== null)
  const context = contextOf('gauge-study')
  for (const record of contextRecords) context.take(record)
  const rowFields = beside.meanings.flatMap((meaning, index) =>
    meaning === null ? [] : [{ meaning, index }],
  )
  return {
    grid: {
      kind: 'gauge-study',
      shape: 'part-a-row',
      rowFields,
      valueColumns: readings,
      contextRecords,
      headings,
      describing: new Set(),
      values: 'actual',
    },
    roles: headings.map((_, i) => (isValue.has(i) ? 'values' : (beside.meanings[i] ?? null))),
    context: context.texts,
    unexplained: [],
    repeated: beside.repeated,
    understood: rowFields.length + readings.length + context.texts.size,
  }
}

/** Columns of readings, by trial or by gauge, each with what its heading says of them. */
function readingColumns(headings: readonly string[], known: KnownNames): ValueColumn[] {
  const byTrial = named(headings, 'trial', (heading) => trialOfHeading(heading)?.toString() ?? null)
  if (byTrial.length > 0) return byTrial
  return named(headings, 'gauge', (heading) => (known.isGauge(heading) ? heading : null))
}

function named(
  headings: readonly string[],
  meaning: Meaning,
  nameOf: (heading: string) => string | null,
): ValueColumn[] {
  const names = headings.map(nameOf)
  return headings.flatMap((heading, index): ValueColumn[] => {
    const name = names[index] ?? null
    // Of two columns of one name nobody can tell which is meant.
    if (name === null || names.indexOf(name) !== index) return []
    const unit = headingUnit(heading)
    return [
      { index, properties: new Map([[meaning, name], ...(unit === null ? [] : [['unit', unit] as const])]) },
    ]
  })
}
