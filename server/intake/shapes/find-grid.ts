import type { LayoutChoices, Shape } from '../../contract/receipt.ts'
import { characteristicARow } from './characteristic-rows.ts'
import type { FoundGrid, KnownNames } from './found-grid.ts'
import { HeadedRecords } from './headed-records.ts'
import { partARow } from './part-rows.ts'
import { oneValueARow } from './value-rows.ts'

/**
 * The table whose headings are the record at `at`, read as the shape that its columns show; null where that
 * record cannot be the headings of a table of measurements.
 */
export function gridAt(
  records: readonly (readonly string[])[],
  at: number,
  known: KnownNames,
  partNumberSaid: string | null,
  choices: LayoutChoices,
): FoundGrid | null {
  const headings = trimmedEnd((records[at] as readonly string[]).map((heading) => heading.trim()))
  if (headings.length === 0 || headings.length > 5000) return null
  const table = new HeadedRecords(records, at, headings, choices)
  const shapes: readonly Shape[] =
    choices.shape === undefined
      ? ['measurement-a-row', 'blocks', 'characteristic-a-row', 'part-a-row']
      : [choices.shape]
  for (const shape of shapes) {
    const found = readAs(shape, table, known, partNumberSaid)
    if (found !== null) return found
  }
  return null
}

function readAs(
  shape: Shape,
  table: HeadedRecords,
  known: KnownNames,
  partNumberSaid: string | null,
): FoundGrid | null {
  switch (shape) {
    case 'measurement-a-row':
    case 'blocks':
      return oneValueARow(table, shape, known)
    case 'part-a-row':
      return partARow(table, known, partNumberSaid)
    case 'characteristic-a-row':
      return characteristicARow(table)
  }
}

function trimmedEnd(headings: string[]): string[] {
  while (headings.length > 0 && headings[headings.length - 1] === '') headings.pop()
  return headings
}
