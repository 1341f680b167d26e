import type { Meaning } from '../meaning.ts'
import type { Grid } from './grid.ts'

/** What is on record, as far as it helps to understand headings. */
export interface KnownNames {
  /** True where the text is a designator or the name of a characteristic of the part number, or of any where null. */
  isCharacteristic(text: string, partNumber: string | null): boolean
  /** True where a gauge of this name is on record. */
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
