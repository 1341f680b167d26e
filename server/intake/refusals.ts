import type { RefusedRow } from '../contract/receipt.ts'
import type { Dialect } from './dialect.ts'
import { type Fault, FileProblemError, shortened } from './faults.ts'
import type { Layout } from './layout.ts'
import { MEANING_IN_WORDS, type Meaning } from './meaning.ts'
import { type LateFault, own } from './row-checker.ts'

/** Refused rows after which reading on helps nobody. */
const MOST_REFUSED = 100_000

/** Rows of one file that cannot be taken, each with the place in the file of what is wrong with it. */
export class Refusals {
  readonly #dialect: Dialect
  /** Null for a file that is no table of text. */
  readonly #layout: Layout | null
  readonly #rows: RefusedRow[] = []

  constructor(dialect: Dialect, layout: Layout | null) {
    this.#dialect = dialect
    this.#layout = layout
  }

  get count(): number {
    return this.#rows.length
  }

  /** In the order of their lines. */
  rows(): RefusedRow[] {
    return [...this.#rows].sort((a, b) => a.line - b.line)
  }

  /** Whether a row was refused as a whole. */
  hasWholeRow(line: number): boolean {
    return this.#rows.some((row) => row.line === line && row.column === null)
  }

  /** @throws FileProblemError once there are so many that reading on helps nobody */
  add(line: number, position: number, { meaning, value, reason }: Fault): void {
    this.#rows.push({
      line,
      ...this.placeOf(meaning, position),
      value: own(shortened(value)),
      reason,
    })
    if (this.#rows.length >= MOST_REFUSED) {
      throw new FileProblemError(
        `${MOST_REFUSED.toLocaleString('en')} rows cannot be taken in, so reading was stopped on line ${line}.`,
        `line ${line}`,
        'Look at the first refused rows, correct the file as a whole, and bring it again.',
      )
    }
  }

  addAll(faults: readonly LateFault[]): void {
    for (const { line, position, fault } of faults) this.add(line, position ?? 0, fault)
  }

  /** Where in the file the field with this meaning stands, for a value in the column `position`. */
  placeOf(meaning: Meaning | null, position: number): { column: string | null; position?: number } {
    if (meaning === null) return { column: null }
    const { headings, meanings } = this.#dialect.columns
    const grid = this.#layout?.found?.grid
    if (grid === undefined) {
      const index = meanings.indexOf(meaning)
      return index < 0 ? { column: null } : { column: headings[index] as string, position: index + 1 }
    }
    const own = grid.rowFields.find((rowField) => rowField.meaning === meaning)
    const ofColumn = grid.valueColumns.find(({ index }) => index + 1 === position)
    const isOfValue = meaning === 'value' || meaning === 'deviation' || ofColumn?.properties.has(meaning)
    if (own === undefined && !isOfValue) return { column: MEANING_IN_WORDS[meaning] }
    const index = isOfValue || own === undefined ? position - 1 : own.index
    return { column: grid.headings[index] || `column ${index + 1}`, position: index + 1 }
  }
}
