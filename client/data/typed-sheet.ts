import type { DoubtKind } from '../../server/contract/receipt.ts'
import type { Stage } from '../../src/domain/cell.ts'

/** Values typed by hand for one build, kept in the browser until they are taken in. */
export interface TypedSheet {
  readonly id: string
  readonly number: string
  readonly revision: string
  readonly stage: Stage
  readonly build: string
  readonly gauge: string
  readonly inspector: string
  readonly designators: readonly string[]
  readonly rows: readonly TypedRow[]
  /** Of a build, or a furnace load, that is not on record: what a file of these would say of it, by its heading. */
  readonly conditions?: Readonly<Record<string, string>>
}

export interface TypedRow {
  readonly serial: string
  /** By designator. */
  readonly cells: Readonly<Record<string, TypedCell>>
}

export interface TypedCell {
  readonly text: string
  /** When it was typed, by the clock of the computer: "2026-11-25 14:05:09". */
  readonly at: string
  /** Doubts of this very text that were decided: kept as measured. */
  readonly kept?: readonly DoubtKind[]
}

const KEY = 'as-sintered typed '

/** A number as it is typed: decimal comma or point; null where it is none. */
export function decimalOf(text: string): string | null {
  const plain = text.trim().replace(/^[−–]/, '-').replace(',', '.')
  return /^[+-]?(\d+\.?\d*|\.\d+)$/.test(plain) ? plain.replace(/^\+/, '').replace(/^(-?)\./, '$10.') : null
}

/** The moment as a file of measurements writes it. */
export function clockText(at: Date): string {
  const two = (value: number) => String(value).padStart(2, '0')
  return `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())} ${two(at.getHours())}:${two(at.getMinutes())}:${two(at.getSeconds())}`
}

/** What the browser's storage calls a sheet. */
export function keyOfSheet(id: string): string {
  return KEY + id
}

/** Sheets that this browser keeps, in the order in which they were begun. */
export function keptSheets(): TypedSheet[] {
  try {
    return Object.keys(localStorage)
      .filter((key) => key.startsWith(KEY))
      .sort()
      .flatMap((key) => keptSheet(key.slice(KEY.length)) ?? [])
  } catch {
    return []
  }
}

export function keptSheet(id: string): TypedSheet | null {
  try {
    const text = localStorage.getItem(KEY + id)
    return text === null ? null : (JSON.parse(text) as TypedSheet)
  } catch {
    return null
  }
}

/** @returns false where the browser keeps nothing */
export function keepSheet(sheet: TypedSheet): boolean {
  try {
    localStorage.setItem(KEY + sheet.id, JSON.stringify(sheet))
    return true
  } catch {
    return false
  }
}

export function dropSheet(id: string): void {
  try {
    localStorage.removeItem(KEY + id)
  } catch {
    // Nothing was kept.
  }
}

/** The sheet with one cell typed; an empty text takes it out. */
export function withCell(
  sheet: TypedSheet,
  row: number,
  designator: string,
  text: string,
  at: Date,
): TypedSheet {
  return withTypedCell(sheet, row, designator, text === '' ? undefined : { text, at: clockText(at) })
}

/** The sheet with one cell as it is given, its time and decisions included; undefined takes it out. */
export function withTypedCell(
  sheet: TypedSheet,
  row: number,
  designator: string,
  cell: TypedCell | undefined,
): TypedSheet {
  const rows = sheet.rows.map((each, i) => {
    if (i !== row) return each
    const { [designator]: _, ...others } = each.cells
    return { ...each, cells: cell === undefined ? others : { ...others, [designator]: cell } }
  })
  return { ...sheet, rows }
}

/** The sheet with a doubt of one cell decided, or open again. */
export function withDecision(
  sheet: TypedSheet,
  row: number,
  designator: string,
  doubt: DoubtKind,
  isKept: boolean,
): TypedSheet {
  const cell = sheet.rows[row]?.cells[designator]
  if (cell === undefined) return sheet
  const others = (cell.kept ?? []).filter((kind) => kind !== doubt)
  return withTypedCell(sheet, row, designator, { ...cell, kept: isKept ? [...others, doubt] : others })
}

/** The sheet with one serial number typed. */
export function withSerial(sheet: TypedSheet, row: number, serial: string): TypedSheet {
  return { ...sheet, rows: sheet.rows.map((each, i) => (i === row ? { ...each, serial } : each)) }
}

/** One cell that holds something, and where it stands. */
export interface FilledCell {
  readonly row: number
  readonly serial: string
  readonly designator: string
  readonly cell: TypedCell
}

/** Cells that hold something, part by part, in the order of the file that is made of them. */
export function filledCells(sheet: TypedSheet): FilledCell[] {
  return sheet.rows.flatMap(({ serial, cells }, row) =>
    sheet.designators.flatMap((designator) => {
      const cell = cells[designator]
      return cell === undefined ? [] : [{ row, serial: serial.trim(), designator, cell }]
    }),
  )
}
