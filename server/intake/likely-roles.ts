import { readColumns } from './headings.ts'
import type { Meaning } from './meaning.ts'
import { looksNumeric } from './numbers.ts'
import type { KnownNames } from './shapes/found-grid.ts'
import type { WordlessTable } from './wordless.ts'

export type LikelyRole = Meaning | 'values' | null

/**
 * What the columns of a table that is not understood may hold, to begin with when a person says what they are: by the
 * headings that are known, then by what stands in the columns. Nothing is taken in by it without being looked at, so
 * where two columns come into question for the same thing, neither is named.
 */
export function likelyRoles(table: WordlessTable, known: KnownNames): readonly LikelyRole[] {
  const { headings, kinds, records } = table
  const roles: LikelyRole[] = kinds.map((_, i) => readColumns('measurements', headings).meanings[i] ?? null)
  const columns = kinds.map((_, i) =>
    records.map((record) => (record[i] ?? '').trim()).filter((cell) => cell !== ''),
  )
  const isCharacteristic = (text: string) => known.isCharacteristic(text, null)
  headings.forEach((heading, i) => {
    if (roles[i] === null && kinds[i] === 'number' && isCharacteristic(heading)) roles[i] = 'values'
  })
  const name = (role: Meaning, fits: (cells: readonly string[], i: number) => boolean) => {
    const fitting = columns.flatMap((cells, i) =>
      roles[i] === null && cells.length > 1 && fits(cells, i) ? [i] : [],
    )
    if (fitting.length === 1) roles[fitting[0] as number] = role
  }
  if (!has(roles, 'characteristic', 'characteristicName', 'values')) {
    // A counter of rows holds the same numbers as designators do, but never one again.
    name('characteristic', (cells) => {
      const distinct = new Set(cells)
      return distinct.size < cells.length && distinct.size > 1 && [...distinct].every(isCharacteristic)
    })
  }
  const isTall = has(roles, 'characteristic', 'characteristicName')
  if (isTall && !has(roles, 'value', 'deviation')) {
    name(
      'value',
      (cells) =>
        cells.filter((cell) => /\d[.,]\d/.test(cell) && looksNumeric(cell)).length * 2 > cells.length,
    )
  }
  if ((isTall || has(roles, 'values')) && !has(roles, 'serial')) {
    name('serial', (cells) => {
      if (cells.length < records.length || looksLikeTimes(cells)) return false
      const distinct = new Set(cells).size
      // Names with a number in them, another one for each part: of which one row or one run of rows speaks.
      return (
        cells.every((cell) => /\d/.test(cell) && !looksNumeric(cell)) &&
        distinct > 1 &&
        distinct === (isTall ? runs(cells) : cells.length)
      )
    })
  }
  return roles
}

function has(roles: readonly LikelyRole[], ...wanted: readonly LikelyRole[]): boolean {
  return wanted.some((role) => roles.includes(role))
}

function looksLikeTimes(cells: readonly string[]): boolean {
  return cells.every((cell) => /\d[-./:]\d+[-./:]\d/.test(cell) || /^\d{1,2}:\d{2}/.test(cell))
}

/** How often the cells change from one to the next, and one more. */
function runs(cells: readonly string[]): number {
  return cells.filter((cell, i) => i === 0 || cell !== cells[i - 1]).length
}
