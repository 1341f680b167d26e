import type { FileProblem } from '../contract/receipt.ts'
import type { Layout } from './layout.ts'
import type { TableFile } from './read-table.ts'
import type { Refusals } from './refusals.ts'

/** A last row without its last fields, and without a line end: the file was cut off on its way. */
export function cutOffLine(
  table: TableFile | null,
  layout: Layout | null,
  refusals: Refusals,
): number | null {
  const last = table?.unended ?? null
  if (last === null || layout === null || last.fields >= layout.headings.length) return null
  return refusals.hasWholeRow(last.line) ? last.line : null
}

/** What is said of it, and what to do. */
export function cutOffProblem(line: number): FileProblem {
  return {
    what: `The file ends in the middle of line ${line}, and what came after it is missing.`,
    where: null,
    next: 'It was cut off on its way. Export it again, and bring the whole file.',
  }
}
