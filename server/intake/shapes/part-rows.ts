import { headingUnit } from '../headings.ts'
import type { Meaning } from '../meaning.ts'
import { placedBeside } from './beside-values.ts'
import type { FoundGrid, KnownNames } from './found-grid.ts'
import type { ValueColumn } from './grid.ts'
import type { HeadedRecords } from './headed-records.ts'

const OF_CHARACTERISTIC: ReadonlySet<Meaning> = new Set([
  'characteristic',
  'characteristicName',
  'kind',
  'axis',
  'nominal',
  'lower',
  'upper',
  'tolerance',
  'plusTolerance',
  'minusTolerance',
  'unit',
])

/** Headings of counters and marks that are no measured value, however numeric. */
const NO_VALUE = new Set(
  'no nr row line index lfd lfdnr pos posnr id n ok nok status temp temperature temperatur humidity qty quantity count page'.split(
    ' ',
  ),
)

/** One part a row, a column for each characteristic. */
export function partARow(
  table: HeadedRecords,
  known: KnownNames,
  partNumberSaid: string | null,
): FoundGrid | null {
  const meanings = [...table.meanings]
  table.nameSerials(meanings, known)
  if (!meanings.includes('serial')) return null
  if (table.saidValues.size === 0) {
    if (meanings.includes('value') || meanings.includes('deviation')) return null
    if (meanings.includes('characteristic') || meanings.includes('characteristicName')) return null
  }
  const names = table.headings.map((heading) => headingWithoutUnit(heading))
  const contextAll = table.context(table.contextRecords(new Set()))
  const partNumberIndex = meanings.indexOf('partNumber')
  const partNumber =
    (partNumberIndex < 0 ? undefined : table.cells(partNumberIndex)[0]) ??
    contextAll.get('partNumber') ??
    partNumberSaid
  const isKnown = names.map((name) => name !== '' && known.isCharacteristic(name, partNumber))
  // A characteristic may be called like something else: "Position", "Axis", "Wall".
  isKnown.forEach((is, i) => {
    if (is && !table.said.has(i) && meanings[i] !== 'serial' && table.isNumeric(i)) meanings[i] = null
  })
  const own = table.ownLimits(meanings, (i) => isKnown[i] === true)
  const numeric = table.headings.flatMap((heading, i) => {
    if (own.has(i)) return []
    if (table.said.has(i)) return table.saidValues.has(i) ? [i] : []
    if (meanings[i] !== null || heading === '') return []
    if (isKnown[i]) return [i]
    const plain = heading.toLowerCase().replace(/[^\p{Letter}\p{Number}]/gu, '')
    return table.isNumeric(i) && !NO_VALUE.has(plain) ? [i] : []
  })
  if (numeric.length === 0) return null
  const first = numeric[0] as number
  const labels = table.describing(numeric, first, OF_CHARACTERISTIC)
  const anyKnown = numeric.some((i) => isKnown[i])
  const defined = (i: number) =>
    [...labels.texts].some(([meaning, texts]) => meaning !== 'unit' && (texts[i] ?? '') !== '')
  const unexplained = anyKnown ? numeric.filter((i) => !isKnown[i] && !table.said.has(i) && !defined(i)) : []
  const taken = numeric.filter((i) => !unexplained.includes(i))
  const times = new Map<string, number>()
  const valueColumns = taken.map((index): ValueColumn => {
    const properties = new Map<Meaning, string>()
    const name = names[index] as string
    properties.set('characteristic', name)
    const unit = headingUnit(table.headings[index] as string)
    if (unit !== null) properties.set('unit', unit)
    for (const [meaning, texts] of labels.texts)
      if (texts[index]) properties.set(meaning, texts[index] as string)
    if (labels.texts.has('characteristic') && properties.get('characteristic') !== name) {
      properties.set('characteristicName', name)
    }
    const designator = properties.get('characteristic') as string
    const occurrence = (times.get(designator) ?? 0) + 1
    times.set(designator, occurrence)
    // A heading that comes again is the same characteristic measured again.
    if (occurrence > 1) properties.set('replicate', String(occurrence))
    return { index, properties }
  })
  const { placed, homeless } = placedBeside(valueColumns, names, own, meanings)
  const contextRecords = table.contextRecords(labels.above)
  return table.found(
    'part-a-row',
    meanings,
    placed,
    contextRecords,
    table.context(contextRecords),
    labels.below,
    table.choices.values ?? 'actual',
    [...unexplained, ...homeless].sort((a, b) => a - b),
  )
}

/** A heading without the unit in brackets behind it. */
function headingWithoutUnit(heading: string): string {
  return headingUnit(heading) === null ? heading : heading.replace(/\s*[([][^)\]]*[)\]]\s*$/, '')
}
