import { headingUnit } from '../headings.ts'
import type { Meaning } from '../meaning.ts'
import type { FoundGrid, KnownNames } from './found-grid.ts'
import type { HeadedRecords } from './headed-records.ts'
import { labelPairs } from './label-lines.ts'

/** One measurement a row, its part named in the row or in lines above it. */
export function oneValueARow(
  table: HeadedRecords,
  shape: 'measurement-a-row' | 'blocks',
  known: KnownNames,
): FoundGrid | null {
  if (!table.has('characteristic', 'characteristicName')) return null
  const contextRecords = table.contextRecords(new Set())
  const context = table.context(contextRecords)
  const inBlocks =
    context.has('serial') || table.body.some((record) => labelPairs(record)?.some(([m]) => m === 'serial'))
  const meanings = [...table.meanings]
  if (!inBlocks) table.nameSerials(meanings, known)
  if (meanings.includes('serial') === (shape === 'blocks')) return null
  if (shape === 'blocks' && !inBlocks) return null
  if (!table.has('value', 'deviation')) {
    const only = valueByPosition(table)
    if (only === null) return null
    meanings[only] = 'value'
  }
  const values = table.choices.values ?? (meanings.includes('value') ? 'actual' : 'deviation')
  let index = meanings.indexOf(values === 'actual' ? 'value' : 'deviation')
  if (index < 0) index = meanings.indexOf(values === 'actual' ? 'deviation' : 'value')
  const unit = table.columns.headingUnit ?? headingUnit(table.headings[index] as string)
  const properties = new Map<Meaning, string>()
  if (unit !== null && !meanings.includes('unit')) properties.set('unit', unit)
  return table.found(shape, meanings, [{ index, properties }], contextRecords, context, new Set(), values, [])
}

/** The one column of numbers with decimals whose heading is not known. */
function valueByPosition(table: HeadedRecords): number | null {
  const candidates = table.headings.flatMap((heading, i) => {
    if (table.meanings[i] !== null || table.said.has(i)) return table.saidValues.has(i) ? [i] : []
    const cells = table.cells(i)
    const withMark = cells.filter((cell) => /\d[.,]\d/.test(cell)).length
    return heading !== '' && table.isNumeric(i) && withMark >= 2 && withMark >= cells.length / 2 ? [i] : []
  })
  return candidates.length === 1 ? (candidates[0] as number) : null
}
