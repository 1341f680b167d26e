import { readFileSync } from 'node:fs'

/**
 * Rows of a reference table beside this file, keyed by the column heads. Lines that begin with # are comments.
 * Numbers with more digits than a double holds are rounded to the nearest double.
 */
export function referenceTable<Column extends string>(
  name: string,
  columns: readonly Column[],
): Record<Column, number>[] {
  const text = readFileSync(new URL(`./${name}`, import.meta.url), 'utf8')
  const lines = text.split('\n').filter((line) => line !== '' && !line.startsWith('#'))
  const [head, ...body] = lines
  if (head !== columns.join(',')) throw new Error(`${name}: columns are ${head}`)
  return body.map((line) => {
    const fields = line.split(',')
    return Object.fromEntries(columns.map((column, i) => [column, Number(fields[i])])) as Record<Column, number>
  })
}

/** |actual − expected| over |expected|; absolute where 0 is expected. */
export function relativeError(actual: number, expected: number): number {
  return expected === 0 ? Math.abs(actual) : Math.abs(actual / expected - 1)
}
