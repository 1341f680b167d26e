import type { Meaning } from '../meaning.ts'
import { comparedName, type OwnLimitHeading } from '../own-limit-heading.ts'
import type { ValueColumn } from './grid.ts'

/**
 * Value columns with the columns of limits of the part's own that stand beside them: those whose heading names the
 * column, and those whose heading names none and that stand to its right. What they are goes into `meanings`; one whose
 * heading names something else belongs nowhere, and has to be asked about.
 */
export function placedBeside(
  columns: readonly ValueColumn[],
  names: readonly string[],
  own: ReadonlyMap<number, OwnLimitHeading>,
  meanings: (Meaning | null)[],
): { readonly placed: readonly ValueColumn[]; readonly homeless: readonly number[] } {
  if (own.size === 0) return { placed: columns, homeless: [] }
  const homeless: number[] = []
  const beside = new Map<number, Map<Meaning, number>>()
  for (const [index, { meaning, of }] of own) {
    const named =
      of === '' ? columns : columns.filter((column) => comparedName(names[column.index] ?? '') === of)
    const toTheLeft = named.findLast((column) => column.index < index)
    const owner = toTheLeft ?? (of === '' ? undefined : named[0])
    // Without a column of its own it says something of the whole row, if it says anything.
    meanings[index] = owner === undefined && of !== '' ? null : meaning
    if (owner === undefined) {
      if (of !== '') homeless.push(index)
      continue
    }
    const placed = beside.get(owner.index) ?? new Map<Meaning, number>()
    placed.set(meaning, index)
    beside.set(owner.index, placed)
  }
  const placed = columns.map((column) => {
    const own = beside.get(column.index)
    return own === undefined ? column : { ...column, beside: own }
  })
  return { placed, homeless }
}
