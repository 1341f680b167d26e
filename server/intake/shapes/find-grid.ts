import type { LayoutChoices, Shape } from '../../contract/receipt.ts'
import { type Columns, headingUnit, meaningsOf, readColumns } from '../headings.ts'
import type { Meaning } from '../meaning.ts'
import { looksNumeric } from '../numbers.ts'
import { comparedName, type OwnLimitHeading, ownLimitHeading } from '../own-limit-heading.ts'
import type { Grid, ValueColumn } from './grid.ts'
import { CONTEXT_MEANINGS, Context, isBlank, isComment, labelPairs } from './label-lines.ts'

/** What is on record, as far as it helps to understand headings. */
export interface KnownNames {
  /** True where the text is a designator or the name of a characteristic of the part number, or of any where null. */
  isCharacteristic(text: string, partNumber: string | null): boolean
  isGauge(name: string): boolean
  /** Numbers of the part numbers that have all of these as designators or names. */
  partNumbersWith(texts: readonly string[]): readonly string[]
}

/** A way to read the table whose headings stand in one record. */
export interface FoundGrid {
  readonly grid: Grid
  /** The file's columns with what each was taken for; "values" for a column of measured values. */
  readonly roles: readonly (Meaning | 'values' | null)[]
  readonly context: ReadonlyMap<Meaning, string>
  /** Columns of numbers that are no characteristic of a part number whose characteristics are known. */
  readonly unexplained: readonly number[]
  /** Columns that mean the same as another one. */
  readonly repeated: readonly string[]
  /** A measure of how much of the table is understood, to compare readings of the same file. */
  readonly understood: number
}

/** Records below the headings that are looked at. */
const LOOKED_AT = 300
/** Share of a column's filled cells that must be numbers for it to be one of values. */
const MOSTLY = 0.6
/** Records below the headings among which those that describe columns are looked for. */
const DESCRIBING_BELOW = 8

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
  const table = new Table(records, at, headings, choices)
  const shapes: readonly Shape[] =
    choices.shape === undefined
      ? ['measurement-a-row', 'blocks', 'characteristic-a-row', 'part-a-row']
      : [choices.shape]
  for (const shape of shapes) {
    const found = table.as(shape, known, partNumberSaid)
    if (found !== null) return found
  }
  return null
}

function trimmedEnd(headings: string[]): string[] {
  while (headings.length > 0 && headings[headings.length - 1] === '') headings.pop()
  return headings
}

/** One record taken for headings, with what surrounds it. */
class Table {
  readonly #records: readonly (readonly string[])[]
  readonly #at: number
  readonly #headings: readonly string[]
  readonly #choices: LayoutChoices
  readonly #columns: Columns
  readonly #meanings: (Meaning | null)[]
  readonly #body: readonly (readonly string[])[]
  /** Columns that a person said hold measured values, or do not. */
  readonly #saidValues = new Set<number>()
  readonly #said = new Set<number>()

  constructor(
    records: readonly (readonly string[])[],
    at: number,
    headings: readonly string[],
    choices: LayoutChoices,
  ) {
    this.#records = records
    this.#at = at
    this.#headings = headings
    this.#choices = choices
    this.#columns = readColumns('measurements', headings)
    this.#meanings = [...this.#columns.meanings]
    for (const [place, role] of Object.entries(choices.columns ?? {})) {
      const index = Number(place) - 1
      if (!(index >= 0 && index < headings.length)) continue
      this.#said.add(index)
      if (role === 'values') this.#saidValues.add(index)
      const meaning = role === 'values' || role === 'none' ? null : (role as Meaning)
      // What a person says of one column takes its meaning away from any other.
      if (meaning !== null) {
        this.#meanings.forEach((other, i) => {
          if (other === meaning && !this.#said.has(i)) this.#meanings[i] = null
        })
      }
      this.#meanings[index] = meaning
    }
    const width = headings.length
    this.#body = records
      .slice(at + 1, at + 1 + LOOKED_AT)
      .filter((record) => record.length >= Math.min(2, width) && !isBlank(record) && !isComment(record))
    this.#findValueAmongResults()
  }

  /** "Result" heads measured values as often as "OK": of two such columns the one with numbers is meant. */
  #findValueAmongResults(): void {
    const first = this.#meanings.indexOf('value')
    if (first < 0 || this.#said.has(first) || this.#isNumeric(first)) return
    const others = this.#headings.flatMap((heading, i) =>
      this.#meanings[i] === null && !this.#said.has(i) && meansValue(heading) && this.#isNumeric(i)
        ? [i]
        : [],
    )
    if (others.length !== 1) return
    this.#meanings[first] = null
    this.#meanings[others[0] as number] = 'value'
  }

  as(shape: Shape, known: KnownNames, partNumberSaid: string | null): FoundGrid | null {
    switch (shape) {
      case 'measurement-a-row':
      case 'blocks':
        return this.#oneValueARow(shape, known)
      case 'part-a-row':
        return this.#partARow(known, partNumberSaid)
      case 'characteristic-a-row':
        return this.#characteristicARow()
    }
  }

  #has(...wanted: readonly Meaning[]): boolean {
    return wanted.some((meaning) => this.#meanings.includes(meaning))
  }

  #contextRecords(except: ReadonlySet<number>): (readonly string[])[] {
    return this.#records
      .slice(0, this.#at)
      .filter((record, i) => !except.has(i) && labelPairs(record) !== null)
  }

  #context(records: readonly (readonly string[])[]): ReadonlyMap<Meaning, string> {
    const context = new Context()
    for (const record of records) context.take(record)
    return context.texts
  }

  /** One measurement a row, its part named in the row or in lines above it. */
  #oneValueARow(shape: 'measurement-a-row' | 'blocks', known: KnownNames): FoundGrid | null {
    if (!this.#has('characteristic', 'characteristicName')) return null
    const contextRecords = this.#contextRecords(new Set())
    const context = this.#context(contextRecords)
    const inBlocks =
      context.has('serial') || this.#body.some((record) => labelPairs(record)?.some(([m]) => m === 'serial'))
    const meanings = [...this.#meanings]
    if (!inBlocks) this.#nameSerials(meanings, known)
    if (meanings.includes('serial') === (shape === 'blocks')) return null
    if (shape === 'blocks' && !inBlocks) return null
    if (!this.#has('value', 'deviation')) {
      const only = this.#valueByPosition()
      if (only === null) return null
      meanings[only] = 'value'
    }
    const values = this.#choices.values ?? (meanings.includes('value') ? 'actual' : 'deviation')
    let index = meanings.indexOf(values === 'actual' ? 'value' : 'deviation')
    if (index < 0) index = meanings.indexOf(values === 'actual' ? 'deviation' : 'value')
    const unit = this.#columns.headingUnit ?? headingUnit(this.#headings[index] as string)
    const properties = new Map<Meaning, string>()
    if (unit !== null && !meanings.includes('unit')) properties.set('unit', unit)
    return this.#found(
      shape,
      meanings,
      [{ index, properties }],
      contextRecords,
      context,
      new Set(),
      values,
      [],
    )
  }

  /**
   * "Part" heads serial numbers as often as part numbers: it is taken for the former where nothing else is, its texts
   * differ, and none is a part number on record.
   */
  #nameSerials(meanings: (Meaning | null)[], known: KnownNames): void {
    const part = meanings.indexOf('partNumber')
    if (part < 0 || meanings.includes('serial') || this.#said.has(part)) return
    if (!meaningsOf(this.#headings[part] as string).includes('serial')) return
    const names = new Set(this.#cells(part))
    if (names.size < Math.min(2, this.#body.length)) return
    if (known.partNumbersWith([]).some((number) => names.has(number))) return
    meanings[part] = 'serial'
  }

  /** The one column of numbers with decimals whose heading is not known. */
  #valueByPosition(): number | null {
    const candidates = this.#headings.flatMap((heading, i) => {
      if (this.#meanings[i] !== null || this.#said.has(i)) return this.#saidValues.has(i) ? [i] : []
      const cells = this.#cells(i)
      const withMark = cells.filter((cell) => /\d[.,]\d/.test(cell)).length
      return heading !== '' && this.#isNumeric(i) && withMark >= 2 && withMark >= cells.length / 2 ? [i] : []
    })
    return candidates.length === 1 ? (candidates[0] as number) : null
  }

  /** One part a row, a column for each characteristic. */
  #partARow(known: KnownNames, partNumberSaid: string | null): FoundGrid | null {
    const meanings = [...this.#meanings]
    this.#nameSerials(meanings, known)
    if (!meanings.includes('serial')) return null
    if (this.#saidValues.size === 0) {
      if (meanings.includes('value') || meanings.includes('deviation')) return null
      if (meanings.includes('characteristic') || meanings.includes('characteristicName')) return null
    }
    const names = this.#headings.map((heading) => headingWithoutUnit(heading))
    const contextAll = this.#context(this.#contextRecords(new Set()))
    const partNumberIndex = meanings.indexOf('partNumber')
    const partNumber =
      (partNumberIndex < 0 ? undefined : this.#cells(partNumberIndex)[0]) ??
      contextAll.get('partNumber') ??
      partNumberSaid
    const isKnown = names.map((name) => name !== '' && known.isCharacteristic(name, partNumber))
    // A characteristic may be called like something else: "Position", "Axis", "Wall".
    isKnown.forEach((is, i) => {
      if (is && !this.#said.has(i) && meanings[i] !== 'serial' && this.#isNumeric(i)) meanings[i] = null
    })
    const own = this.#ownLimits(meanings, (i) => isKnown[i] === true)
    const numeric = this.#headings.flatMap((heading, i) => {
      if (own.has(i)) return []
      if (this.#said.has(i)) return this.#saidValues.has(i) ? [i] : []
      if (meanings[i] !== null || heading === '') return []
      if (isKnown[i]) return [i]
      const plain = heading.toLowerCase().replace(/[^\p{Letter}\p{Number}]/gu, '')
      return this.#isNumeric(i) && !NO_VALUE.has(plain) ? [i] : []
    })
    if (numeric.length === 0) return null
    const first = numeric[0] as number
    const labels = this.#describing(numeric, first, OF_CHARACTERISTIC)
    const anyKnown = numeric.some((i) => isKnown[i])
    const defined = (i: number) =>
      [...labels.texts].some(([meaning, texts]) => meaning !== 'unit' && (texts[i] ?? '') !== '')
    const unexplained = anyKnown
      ? numeric.filter((i) => !isKnown[i] && !this.#said.has(i) && !defined(i))
      : []
    const taken = numeric.filter((i) => !unexplained.includes(i))
    const times = new Map<string, number>()
    const valueColumns = taken.map((index): ValueColumn => {
      const properties = new Map<Meaning, string>()
      const name = names[index] as string
      properties.set('characteristic', name)
      const unit = headingUnit(this.#headings[index] as string)
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
    const contextRecords = this.#contextRecords(labels.above)
    return this.#found(
      'part-a-row',
      meanings,
      placed,
      contextRecords,
      this.#context(contextRecords),
      labels.below,
      this.#choices.values ?? 'actual',
      [...unexplained, ...homeless].sort((a, b) => a - b),
    )
  }

  /** Columns for limits of the part's own, by what they were said to be, else by their headings. */
  #ownLimits(
    meanings: readonly (Meaning | null)[],
    isKnown: (index: number) => boolean = () => false,
  ): ReadonlyMap<number, OwnLimitHeading> {
    const own = new Map<number, OwnLimitHeading>()
    this.#headings.forEach((heading, i) => {
      const found = ownLimitHeading(heading)
      if (this.#said.has(i)) {
        const meaning = meanings[i]
        if (meaning === 'ownUpper' || meaning === 'ownLower' || meaning === 'bonus') {
          own.set(i, { meaning, of: found?.of ?? '' })
        }
      } else if (found !== null && !isKnown(i) && this.#isNumeric(i)) own.set(i, found)
    })
    return own
  }

  /** One characteristic a row, a column for each part. */
  #characteristicARow(): FoundGrid | null {
    if (!this.#has('characteristic', 'characteristicName')) return null
    if (this.#saidValues.size === 0 && this.#has('serial', 'value', 'deviation')) return null
    const meanings = [...this.#meanings]
    const own = this.#ownLimits(meanings)
    const free = this.#headings.flatMap((_, i) => {
      if (own.has(i)) return []
      if (this.#said.has(i)) return this.#saidValues.has(i) ? [i] : []
      return this.#meanings[i] === null && this.#isNumeric(i) ? [i] : []
    })
    // Columns of parts may have their serial numbers in a line above instead of in the headings.
    const width = Math.max(this.#headings.length, ...this.#body.slice(0, 20).map((record) => record.length))
    const beyond = Array.from({ length: width - this.#headings.length }, (_, k) => this.#headings.length + k)
    const possible = [...free, ...beyond.filter((i) => this.#isNumeric(i))]
    if (possible.length === 0) return null
    const labels = this.#describing(possible, possible[0] as number, CONTEXT_MEANINGS)
    const serials = labels.texts.get('serial')
    const taken = possible.filter((i) => (this.#headings[i] ?? '') !== '' || (serials?.[i] ?? '') !== '')
    if (taken.length === 0) return null
    if (labels.texts.size === 0 && this.#saidValues.size === 0 && !this.#areValues(taken)) return null
    const times = new Map<string, number>()
    const valueColumns = taken.map((index): ValueColumn => {
      const properties = new Map<Meaning, string>()
      properties.set('serial', this.#headings[index] ?? '')
      for (const [meaning, texts] of labels.texts)
        if (texts[index]) properties.set(meaning, texts[index] as string)
      const serial = properties.get('serial') as string
      const occurrence = (times.get(serial) ?? 0) + 1
      times.set(serial, occurrence)
      if (occurrence > 1 && !properties.has('replicate')) properties.set('replicate', String(occurrence))
      return { index, properties }
    })
    const { placed, homeless } = placedBeside(valueColumns, this.#headings, own, meanings)
    const contextRecords = this.#contextRecords(labels.above)
    return this.#found(
      'characteristic-a-row',
      meanings,
      placed,
      contextRecords,
      this.#context(contextRecords),
      labels.below,
      this.#choices.values ?? 'actual',
      homeless,
      taken[taken.length - 1] as number,
    )
  }

  /**
   * Whether numbers beside the characteristics are measured values, or deviations, and not something else that is known
   * of them: values lie close to the nominal; deviations are small beside it, and some are below zero or stand in
   * several columns.
   */
  #areValues(columns: readonly number[]): boolean {
    const reference = (['nominal', 'upper', 'lower'] as const)
      .map((m) => this.#meanings.indexOf(m))
      .find((i) => i >= 0)
    if (reference === undefined) return true
    let [all, close, small, below, withMark] = [0, 0, 0, 0, 0]
    for (const record of this.#body) {
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

  /** Records that give something for each of the columns: nominals, limits and units, or serial numbers and builds. */
  #describing(columns: readonly number[], first: number, meanings: ReadonlySet<Meaning>) {
    const texts = new Map<Meaning, readonly string[]>()
    const above = new Set<number>()
    const below = new Set<number>()
    const look = (r: number): boolean => {
      const record = (this.#records[r] ?? []).map((cell) => cell.trim())
      const label = record.slice(0, first).find((cell) => cell !== '')
      if (label === undefined) return false
      const meaning = meaningsOf(label.replace(/\s*[:=]\s*$/, '')).find(
        (m) => meanings.has(m) && !texts.has(m),
      )
      if (meaning === undefined) return false
      const filled = columns.filter((i) => (record[i] ?? '') !== '').length
      // A label with its value beside it speaks of the file, unless there is one value for each column.
      if (filled < Math.min(2, columns.length)) return false
      texts.set(meaning, record)
      return true
    }
    for (let r = this.#at - 1; r >= 0; r--) if (look(r)) above.add(r)
    for (let r = this.#at + 1; r <= this.#at + DESCRIBING_BELOW; r++) if (look(r)) below.add(r - this.#at - 1)
    return { texts, above, below }
  }

  #cells(index: number): string[] {
    return this.#body.map((record) => (record[index] ?? '').trim()).filter((cell) => cell !== '')
  }

  #isNumeric(index: number): boolean {
    const cells = this.#cells(index)
    return cells.length > 0 && cells.filter(looksNumeric).length >= cells.length * MOSTLY
  }

  #found(
    shape: Shape,
    meanings: readonly (Meaning | null)[],
    valueColumns: readonly ValueColumn[],
    contextRecords: readonly (readonly string[])[],
    context: ReadonlyMap<Meaning, string>,
    describing: ReadonlySet<number>,
    values: 'actual' | 'deviation',
    unexplained: readonly number[],
    lastColumn = 0,
  ): FoundGrid {
    const headings = [...this.#headings]
    while (headings.length <= lastColumn) headings.push('')
    const isValue = new Set(valueColumns.map((column) => column.index))
    const isBeside = new Set(valueColumns.flatMap(({ beside }) => [...(beside?.values() ?? [])]))
    const rowFields = meanings.flatMap((meaning, index) =>
      meaning === null ||
      isValue.has(index) ||
      isBeside.has(index) ||
      meaning === 'value' ||
      meaning === 'deviation'
        ? []
        : [{ meaning, index }],
    )
    const tall = shape === 'measurement-a-row' || shape === 'blocks'
    const roles = headings.map((_, i) => {
      if (!isValue.has(i)) return meanings[i] ?? null
      return tall ? (values === 'actual' ? 'value' : 'deviation') : 'values'
    })
    return {
      grid: {
        kind: 'measurements',
        shape,
        rowFields,
        valueColumns,
        contextRecords,
        headings,
        describing,
        values,
      },
      roles,
      context,
      unexplained,
      repeated: this.#columns.repeated.filter((heading) => {
        const index = this.#headings.indexOf(heading)
        const isVerdict = meansValue(heading) && !this.#isNumeric(index)
        return !this.#said.has(index) && !isBeside.has(index) && !isVerdict && meanings[index] === null
      }),
      understood: rowFields.length + valueColumns.length + context.size,
    }
  }
}

/**
 * Value columns with the columns of limits of the part's own that stand beside them: those whose heading names the column,
 * and those whose heading names none and that stand to its right. What they are goes into `meanings`; one whose heading names
 * something else belongs nowhere, and has to be asked about.
 */
function placedBeside(
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

function meansValue(heading: string): boolean {
  return meaningsOf(heading)[0] === 'value'
}

/** A heading without the unit in brackets behind it. */
export function headingWithoutUnit(heading: string): string {
  return headingUnit(heading) === null ? heading : heading.replace(/\s*[([][^)\]]*[)\]]\s*$/, '')
}

/** A number whichever mark it has, for comparisons that need no exact one. */
function roughNumber(text: string | undefined): number | null {
  if (text === undefined || !looksNumeric(text)) return null
  const number = Number.parseFloat(text.trim().replace(/^[−–]/, '-').replace(',', '.'))
  return Number.isNaN(number) ? null : number
}
