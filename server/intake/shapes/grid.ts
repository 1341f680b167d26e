import type { Shape } from '../../contract/receipt.ts'
import type { Fault } from '../faults.ts'
import type { Columns } from '../headings.ts'
import type { Meaning } from '../meaning.ts'
import { looksNumeric } from '../numbers.ts'
import { field, type LateFault } from '../row-checker.ts'
import { CONTEXT_MEANINGS, Context, isBlank, isComment, STUDY_CONTEXT_MEANINGS } from './label-lines.ts'

/** A column whose cells are measured values, with what is the same for all of them. */
export interface ValueColumn {
  readonly index: number
  /** The characteristic, its limits and unit; or the part, its build and date. */
  readonly properties: ReadonlyMap<Meaning, string>
  /** Columns beside it that say something of its values row by row: a limit of the part's own, a bonus. */
  readonly beside?: ReadonlyMap<Meaning, number>
}

/**
 * Where the fields of a measurement stand in a table of any shape. Each cell of a value column is one
 * measurement; what it is of comes from its own row, else from its column, else from the lines above.
 */
export interface Grid {
  readonly kind: 'measurements' | 'gauge-study'
  readonly shape: Shape
  /** Columns that say something of their row. */
  readonly rowFields: readonly { readonly meaning: Meaning; readonly index: number }[]
  readonly valueColumns: readonly ValueColumn[]
  /** Lines above the headings that speak of all rows, in order. */
  readonly contextRecords: readonly (readonly string[])[]
  readonly headings: readonly string[]
  /** Records below the headings that describe columns and hold no values, counted from the headings. */
  readonly describing: ReadonlySet<number>
  readonly values: 'actual' | 'deviation'
}

/** Measurements as rows of one shape, whatever shape the file has. */
export interface TallRows {
  readonly rows: readonly (readonly string[])[]
  readonly lines: ArrayLike<number>
  /** Column of the file that each value stands in, counted from 1; 0 where the row says it all by itself. */
  readonly fields: ArrayLike<number>
  /** Rows whose value is not there: the part was not measured on this characteristic. */
  readonly missing: readonly (readonly string[])[]
  readonly faults: readonly LateFault[]
}

/** What people write for a value that was not measured, in a table where every part has a cell for it. */
const NOT_MEASURED: ReadonlySet<string> = new Set([
  '',
  '-',
  '--',
  '---',
  '–',
  '—',
  'n/a',
  'n.a.',
  '#n/a',
  'na',
])

/** The columns of the rows that a grid makes: the same for all of its records. */
export function columnsOfGrid(grid: Grid, context: ReadonlyMap<Meaning, string>): Columns {
  const meanings = new Set<Meaning>(context.keys())
  // A later block may say what the first one did not.
  if (grid.shape === 'blocks') for (const meaning of BLOCK_MEANINGS) meanings.add(meaning)
  for (const { meaning } of grid.rowFields) meanings.add(meaning)
  for (const { properties, beside } of grid.valueColumns)
    for (const meaning of [...properties.keys(), ...(beside?.keys() ?? [])]) meanings.add(meaning)
  const last: Meaning = grid.values === 'actual' ? 'value' : 'deviation'
  meanings.delete('value')
  meanings.delete('deviation')
  const all = [...meanings, last]
  return { kind: grid.kind, headings: all, meanings: all, headingUnit: null, repeated: [] }
}

const BLOCK_MEANINGS: readonly Meaning[] = [
  'partNumber',
  'revision',
  'serial',
  'build',
  'furnaceLoad',
  'tray',
  'trayPlace',
  'stage',
  'replicate',
  'measuredAt',
  'timeOfDay',
  'gauge',
  'inspector',
]

/** What lines above a table of this kind can say. */
export function contextOf(kind: Grid['kind']): Context {
  return new Context(kind === 'gauge-study' ? STUDY_CONTEXT_MEANINGS : CONTEXT_MEANINGS)
}

/** Turns the records below the headings into rows of one measurement each. */
export class GridReader {
  readonly #grid: Grid
  readonly #width: number
  readonly #context: Context
  readonly #rowIndex: readonly number[]
  readonly #meanings: readonly Meaning[]
  readonly #heading: string
  readonly #unknownLabels: Set<string>
  #record = 0
  /** True from a line of labels, or an empty line, to the next line of headings or values. */
  #aboveTable = false

  /** @param unknownLabels takes the labels above the blocks that say nothing that is known */
  constructor(grid: Grid, columns: Columns, unknownLabels: Set<string> = new Set()) {
    this.#unknownLabels = unknownLabels
    this.#grid = grid
    this.#context = contextOf(grid.kind)
    this.#width = grid.headings.length
    this.#meanings = columns.meanings as readonly Meaning[]
    this.#rowIndex = this.#meanings.map(
      (meaning) => grid.rowFields.find((rowField) => rowField.meaning === meaning)?.index ?? -1,
    )
    this.#heading = sameness(grid.headings)
    for (const record of grid.contextRecords) this.#context.take(record)
  }

  /** @param records as they stand below the headings, with the line of each */
  read(records: readonly (readonly string[])[], recordLines: ArrayLike<number>): TallRows {
    const rows: string[][] = []
    const lines: number[] = []
    const fields: number[] = []
    const missing: string[][] = []
    const faults: LateFault[] = []
    for (let r = 0; r < records.length; r++) {
      const record = records[r] as readonly string[]
      if (this.#grid.describing.has(this.#record++)) continue
      if (isBlank(record)) this.#aboveTable = true
      if (isBlank(record) || isComment(record)) continue
      if (this.#context.take(record)) {
        this.#aboveTable = true
        continue
      }
      if (this.#passesOver(record)) continue
      this.#aboveTable = false
      if (sameness(record) === this.#heading) continue
      const line = recordLines[r] as number
      this.#context.endHeading()
      if (record.length !== this.#width && !fits(record, this.#width)) {
        faults.push({ line, fault: wrongWidth(record, this.#width) })
        continue
      }
      const shared = this.#shared(record)
      for (const { index, properties, beside } of this.#grid.valueColumns) {
        const value = field(record, index)
        const row = shared.slice()
        if (properties.size > 0) {
          for (let k = 0; k < row.length - 1; k++) {
            if (row[k] === '' || this.#rowIndex[k] === -1) {
              const text = properties.get(this.#meanings[k] as Meaning)
              if (text !== undefined) row[k] = text
            }
          }
        }
        if (beside !== undefined) {
          for (const [meaning, at] of beside) row[this.#meanings.indexOf(meaning)] = field(record, at)
        }
        row[row.length - 1] = value
        // With one value to the row an absent one is a row without its value, and is refused as such.
        if (this.#grid.valueColumns.length > 1 && NOT_MEASURED.has(value.toLowerCase())) {
          missing.push(row)
          continue
        }
        rows.push(row)
        lines.push(line)
        fields.push(index + 1)
      }
    }
    return { rows, lines, fields, missing, faults }
  }

  /** A label with its text, both unknown, among the lines above a block: no measurement, which has more fields. */
  #passesOver(record: readonly string[]): boolean {
    if (this.#grid.shape !== 'blocks' || !this.#aboveTable || this.#width < 3) return false
    const [label, ...others] = record.map((cell) => cell.trim()).filter((cell) => cell !== '')
    if (label === undefined || others.length > 1 || looksNumeric(label)) return false
    this.#unknownLabels.add(label.replace(/\s*[:=].*$/s, ''))
    return true
  }

  /** The fields that all values of the record share; what its columns say comes over what the lines above do. */
  #shared(record: readonly string[]): string[] {
    return this.#meanings.map((meaning, k) => {
      const index = this.#rowIndex[k] as number
      return (index < 0 ? '' : field(record, index)) || this.#context.text(meaning)
    })
  }
}

/** The record as one text, to know the headings again where they are repeated. */
function sameness(record: readonly string[]): string {
  return record
    .map((cell) => cell.trim())
    .join('\n')
    .trimEnd()
}

/** Delimiters after the last column do no harm where nothing stands behind them. */
export function fits(row: readonly string[], width: number): boolean {
  return row.length > width && row.slice(width).every((text) => text.trim() === '')
}

export function wrongWidth(row: readonly string[], width: number): Fault {
  return {
    meaning: null,
    value: row.slice(0, 50).join(' | '),
    reason: `The row has ${row.length} ${row.length === 1 ? 'field' : 'fields'}, but there are ${width} headings. Look for a missing or surplus delimiter, or put quotation marks around a text that contains one.`,
  }
}
