import type { LayoutChoices, Shape } from '../../contract/receipt.ts'
import { type Columns, meaningsOf, readColumns } from '../headings.ts'
import type { Meaning } from '../meaning.ts'
import { looksNumeric } from '../numbers.ts'
import { type OwnLimitHeading, ownLimitHeading } from '../own-limit-heading.ts'
import type { FoundGrid, KnownNames } from './found-grid.ts'
import type { ValueColumn } from './grid.ts'
import { Context, isBlank, isComment, labelPairs } from './label-lines.ts'

/** Records below the headings that are looked at. */
const LOOKED_AT = 300
/** Share of a column's filled cells that must be numbers for it to be one of values. */
const MOSTLY = 0.6
/** Records below the headings among which those that describe columns are looked for. */
const DESCRIBING_BELOW = 8

/** One record taken for headings, with what surrounds it. */
export class HeadedRecords {
  readonly records: readonly (readonly string[])[]
  /** Place of the headings among the records. */
  readonly at: number
  readonly headings: readonly string[]
  readonly choices: LayoutChoices
  readonly columns: Columns
  /** What each column means, by its heading and by what a person said. */
  readonly meanings: (Meaning | null)[]
  /** The records below that hold something. */
  readonly body: readonly (readonly string[])[]
  /** Columns that a person said hold measured values, or do not. */
  readonly saidValues = new Set<number>()
  readonly said = new Set<number>()

  constructor(
    records: readonly (readonly string[])[],
    at: number,
    headings: readonly string[],
    choices: LayoutChoices,
  ) {
    this.records = records
    this.at = at
    this.headings = headings
    this.choices = choices
    this.columns = readColumns('measurements', headings)
    this.meanings = [...this.columns.meanings]
    for (const [place, role] of Object.entries(choices.columns ?? {})) {
      const index = Number(place) - 1
      if (!(index >= 0 && index < headings.length)) continue
      this.said.add(index)
      if (role === 'values') this.saidValues.add(index)
      const meaning = role === 'values' || role === 'none' ? null : (role as Meaning)
      // What a person says of one column takes its meaning away from any other.
      if (meaning !== null) {
        this.meanings.forEach((other, i) => {
          if (other === meaning && !this.said.has(i)) this.meanings[i] = null
        })
      }
      this.meanings[index] = meaning
    }
    const width = headings.length
    this.body = records
      .slice(at + 1, at + 1 + LOOKED_AT)
      .filter((record) => record.length >= Math.min(2, width) && !isBlank(record) && !isComment(record))
    this.#findValueAmongResults()
  }

  /** "Result" heads measured values as often as "OK": of two such columns the one with numbers is meant. */
  #findValueAmongResults(): void {
    const first = this.meanings.indexOf('value')
    if (first < 0 || this.said.has(first) || this.isNumeric(first)) return
    const others = this.headings.flatMap((heading, i) =>
      this.meanings[i] === null && !this.said.has(i) && meansValue(heading) && this.isNumeric(i) ? [i] : [],
    )
    if (others.length !== 1) return
    this.meanings[first] = null
    this.meanings[others[0] as number] = 'value'
  }

  has(...wanted: readonly Meaning[]): boolean {
    return wanted.some((meaning) => this.meanings.includes(meaning))
  }

  /** Lines of labels above the headings. */
  contextRecords(except: ReadonlySet<number>): (readonly string[])[] {
    return this.records.slice(0, this.at).filter((record, i) => !except.has(i) && labelPairs(record) !== null)
  }

  /** What lines of labels say of all rows below. */
  context(records: readonly (readonly string[])[]): ReadonlyMap<Meaning, string> {
    const context = new Context()
    for (const record of records) context.take(record)
    return context.texts
  }

  /**
   * "Part" heads serial numbers as often as part numbers: it is taken for the former where nothing else is, its texts
   * differ, and none is a part number on record.
   */
  nameSerials(meanings: (Meaning | null)[], known: KnownNames): void {
    const part = meanings.indexOf('partNumber')
    if (part < 0 || meanings.includes('serial') || this.said.has(part)) return
    if (!meaningsOf(this.headings[part] as string).includes('serial')) return
    const names = new Set(this.cells(part))
    if (names.size < Math.min(2, this.body.length)) return
    if (known.partNumbersWith([]).some((number) => names.has(number))) return
    meanings[part] = 'serial'
  }

  /** Columns for limits of the part's own, by what they were said to be, else by their headings. */
  ownLimits(
    meanings: readonly (Meaning | null)[],
    isKnown: (index: number) => boolean = () => false,
  ): ReadonlyMap<number, OwnLimitHeading> {
    const own = new Map<number, OwnLimitHeading>()
    this.headings.forEach((heading, i) => {
      const found = ownLimitHeading(heading)
      if (this.said.has(i)) {
        const meaning = meanings[i]
        if (meaning === 'ownUpper' || meaning === 'ownLower' || meaning === 'bonus') {
          own.set(i, { meaning, of: found?.of ?? '' })
        }
      } else if (found !== null && !isKnown(i) && this.isNumeric(i)) own.set(i, found)
    })
    return own
  }

  /** Records that give something for each of the columns: nominals, limits and units, or serial numbers and builds. */
  describing(columns: readonly number[], first: number, meanings: ReadonlySet<Meaning>) {
    const texts = new Map<Meaning, readonly string[]>()
    const above = new Set<number>()
    const below = new Set<number>()
    const look = (r: number): boolean => {
      const record = (this.records[r] ?? []).map((cell) => cell.trim())
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
    for (let r = this.at - 1; r >= 0; r--) if (look(r)) above.add(r)
    for (let r = this.at + 1; r <= this.at + DESCRIBING_BELOW; r++) if (look(r)) below.add(r - this.at - 1)
    return { texts, above, below }
  }

  cells(index: number): string[] {
    return this.body.map((record) => (record[index] ?? '').trim()).filter((cell) => cell !== '')
  }

  isNumeric(index: number): boolean {
    const cells = this.cells(index)
    return cells.length > 0 && cells.filter(looksNumeric).length >= cells.length * MOSTLY
  }

  found(
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
    const headings = [...this.headings]
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
      repeated: this.columns.repeated.filter((heading) => {
        const index = this.headings.indexOf(heading)
        const isVerdict = meansValue(heading) && !this.isNumeric(index)
        return !this.said.has(index) && !isBeside.has(index) && !isVerdict && meanings[index] === null
      }),
      understood: rowFields.length + valueColumns.length + context.size,
    }
  }
}

function meansValue(heading: string): boolean {
  return meaningsOf(heading)[0] === 'value'
}
