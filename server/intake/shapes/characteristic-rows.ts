import type { Meaning } from '../meaning.ts'
import { looksNumeric } from '../numbers.ts'
import { placedBeside } from './beside-values.ts'
import type { FoundGrid } from './found-grid.ts'
import type { ValueColumn } from './grid.ts'
import type { HeadedRecords } from './headed-records.ts'
import { CONTEXT_MEANINGS } from './label-lines.ts'

/** One characteristic a row, a column for each part. */
export function characteristicARow(table: HeadedRecords): FoundGrid | null {
  if (!table.has('characteristic', 'characteristicName')) return null
  if (table.saidValues.size === 0 && table.has('serial', 'value', 'deviation')) return null
  const meanings = [...table.meanings]
  const own = table.ownLimits(meanings)
  const free = table.headings.flatMap((_, i) => {
    if (own.has(i)) return []
    if (table.said.has(i)) return table.saidValues.has(i) ? [i] : []
    return table.meanings[i] === null && table.isNumeric(i) ? [i] : []
  })
  // Columns of parts may have their serial numbers in a line above instead of in the headings.
  const width = Math.max(table.headings.length, ...table.body.slice(0, 20).map((record) => record.length))
  const beyond = Array.from({ length: width - table.headings.length }, (_, k) => table.headings.length + k)
  const possible = [...free, ...beyond.filter((i) => table.isNumeric(i))]
  if (possible.length === 0) return null
  const labels = table.describing(possible, possible[0] as number, CONTEXT_MEANINGS)
  const serials = labels.texts.get('serial')
  const taken = possible.filter((i) => (table.headings[i] ?? '') !== '' || (serials?.[i] ?? '') !== '')
  if (taken.length === 0) return null
  if (labels.texts.size === 0 && table.saidValues.size === 0 && !areValues(table, taken)) return null
  const times = new Map<string, number>()
  const valueColumns = taken.map((index): ValueColumn => {
    const properties = new Map<Meaning, string>()
    properties.set('serial', table.headings[index] ?? '')
    for (const [meaning, texts] of labels.texts)
      if (texts[index]) properties.set(meaning, texts[index] as string)
    const serial = properties.get('serial') as string
    const occurrence = (times.get(serial) ?? 0) + 1
    times.set(serial, occurrence)
    if (occurrence > 1 && !properties.has('replicate')) properties.set('replicate', String(occurrence))
    return { index, properties }
  })
  const { placed, homeless } = placedBeside(valueColumns, table.headings, own, meanings)
  const contextRecords = table.contextRecords(labels.above)
  return table.found(
    'characteristic-a-row',
    meanings,
    placed,
    contextRecords,
    table.context(contextRecords),
    labels.below,
    table.choices.values ?? 'actual',
    homeless,
    taken[taken.length - 1] as number,
  )
}

/**
 * Whether numbers beside the characteristics are measured values, or deviations, and not something else that is known
 * of them: values lie close to the nominal; deviations are small beside it, and some are below zero or stand in
 * several columns.
 */
function areValues(table: HeadedRecords, columns: readonly number[]): boolean {
  const reference = (['nominal', 'upper', 'lower'] as const)
    .map((m) => table.meanings.indexOf(m))
    .find((i) => i >= 0)
  if (reference === undefined) return true
  let [all, close, small, below, withMark] = [0, 0, 0, 0, 0]
  for (const record of table.body) {
    const nominal = roughNumber(record[reference])
    if (nominal === null) continue
    for (const i of columns) {
      const value = roughNumber(record[i])
      if (value === null) continue
      all++
      // A green part is about a fifth larger; a deviation of form is anything up to its limit.
      if (Math.abs(value - nominal) <= Math.max(0.35 * Math.abs(nominal), 0.5)) close++
      if (Math.abs(value) <= 0.05 * Math.abs(nominal)) small++
      if (value < 0) below++
      if (/\d[.,]\d/.test(record[i] as string)) withMark++
    }
  }
  if (all === 0) return false
  const areDeviations = small >= all * 0.7 && withMark >= all * 0.5 && (below > 0 || columns.length > 1)
  return close >= all * 0.7 || areDeviations
}

/** A number whichever mark it has, for comparisons that need no exact one. */
function roughNumber(text: string | undefined): number | null {
  if (text === undefined || !looksNumeric(text)) return null
  const number = Number.parseFloat(text.trim().replace(/^[−–]/, '-').replace(',', '.'))
  return Number.isNaN(number) ? null : number
}
