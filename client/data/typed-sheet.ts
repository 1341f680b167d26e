import type { Receipt } from '../../server/contract/receipt.ts'
import type { TypingView } from '../../server/contract/typing.ts'
import { mergedSpreads } from '../../src/checks/expectation.ts'
import { ValueWatch, type WatchedValue } from '../../src/checks/value-watch.ts'
import { STAGES, type Stage } from '../../src/domain/cell.ts'
import { type Characteristic, KINDS_WITH_FLOOR } from '../../src/domain/characteristic.ts'

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
}

/** What a check found in one cell. */
export interface TypedRemark {
  readonly row: number
  readonly designator: string
  /** fault: it cannot be taken in. doubt: it may be a slip. outside: it does not meet its requirement. */
  readonly kind: 'fault' | 'doubt' | 'outside'
  readonly text: string
  /** The value that was probably meant. */
  readonly likely: string | null
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
  const rows = sheet.rows.map((each, i) => {
    if (i !== row) return each
    const { [designator]: _, ...others } = each.cells
    return { ...each, cells: text === '' ? others : { ...others, [designator]: { text, at: clockText(at) } } }
  })
  return { ...sheet, rows }
}

/** The sheet with one serial number typed. */
export function withSerial(sheet: TypedSheet, row: number, serial: string): TypedSheet {
  return { ...sheet, rows: sheet.rows.map((each, i) => (i === row ? { ...each, serial } : each)) }
}

/** One cell that holds something, and where it stands. */
interface FilledCell {
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

const HEADINGS = [
  'part_number',
  'revision',
  'build',
  'serial',
  'characteristic',
  'value',
  'unit',
  'stage',
  'gauge',
  'inspector',
  'measured_at',
]

/**
 * The sheet as a file of measurements. The same sheet always gives the same bytes, so that handing it in a second time,
 * after a power cut, is recognised.
 */
export function fileOfSheet(sheet: TypedSheet, characteristics: readonly Characteristic[]): File {
  const units = new Map(characteristics.map(({ designator, unit }) => [designator, unit]))
  const lines = filledCells(sheet).map(({ serial, designator, cell }) => [
    sheet.number,
    sheet.revision,
    sheet.build,
    serial,
    designator,
    decimalOf(cell.text) ?? cell.text.trim(),
    units.get(designator) ?? '',
    sheet.stage,
    sheet.gauge,
    sheet.inspector,
    cell.at,
  ])
  const text = [HEADINGS, ...lines].map((fields) => `${fields.map(quoted).join(',')}\n`).join('')
  return new File([text], `typed ${sheet.build} ${sheet.id}.csv`, { type: 'text/csv' })
}

function quoted(text: string): string {
  return /[",\r\n]|^\s|\s$/.test(text) ? `"${text.replaceAll('"', '""')}"` : text
}

/** What the checks of the intake say of the values as they stand, in the order of the file. */
export function remarksOf(sheet: TypedSheet, view: TypingView): TypedRemark[] {
  const watch = new ValueWatch<WatchedValue & { readonly row: number }>()
  for (const { characteristicId, stage, ...moments } of mergedSpreads(view.spreads)) {
    watch.learn(characteristicId, stage, moments)
  }
  const byDesignator = new Map(view.characteristics.map((each) => [each.designator, each]))
  const stage = STAGES.indexOf(sheet.stage)
  const remarks: TypedRemark[] = []
  for (const { row, serial, designator, cell } of filledCells(sheet)) {
    const characteristic = byDesignator.get(designator)
    if (characteristic === undefined) continue
    const say = (kind: TypedRemark['kind'], text: string, likely: string | null = null) =>
      remarks.push({ row, designator, kind, text, likely })
    if (serial === '') say('fault', 'The part has no serial number yet.')
    const decimal = decimalOf(cell.text)
    if (decimal === null) {
      say('fault', `“${cell.text}” is not a number.`)
      continue
    }
    const value = Number(decimal)
    if (value < 0 && KINDS_WITH_FLOOR.has(characteristic.kind)) {
      say('fault', `A value of ${characteristic.kind} cannot be below zero.`)
      continue
    }
    if (!watch.expects(characteristic, stage, 1, value)) {
      const written = {
        part: serial,
        serial,
        characteristic,
        stage,
        replicate: 1,
        value,
        decimal,
        written: cell.text,
      }
      const found = watch.explain({ ...written, row })
      if (found !== null) {
        // What a slip explains is no finding about the part.
        say('doubt', found.text, found.likely)
        continue
      }
    }
    const outside = sheet.stage === 'green' ? null : outsideWords(value, characteristic)
    if (outside !== null) say('outside', outside)
  }
  return remarks
}

/** How far a value is beyond its limit, in words; null where it meets them. */
export function outsideWords(value: number, { lower, upper, unit }: Characteristic): string | null {
  const by = (distance: number) => String(Number(distance.toPrecision(6)))
  if (lower !== null && value < lower)
    return `Out of specification: ${by(lower - value)} ${unit} below ${lower}.`
  if (upper !== null && value > upper)
    return `Out of specification: ${by(value - upper)} ${unit} above ${upper}.`
  return null
}

/** What is left of the sheet once a receipt says what was taken in: the refused cells; null where none is. */
export function leftOfSheet(sheet: TypedSheet, receipt: Receipt): TypedSheet | null {
  const { verdict, refused } = receipt
  if (verdict === 'taken' || verdict === 'known') return null
  if (verdict !== 'taken-in-part') return sheet
  const all = filledCells(sheet)
  // The headings are line 1.
  const kept = new Set(
    refused.map(({ line }) => all[line - 2]).map((each) => `${each?.row} ${each?.designator}`),
  )
  const rows = sheet.rows.flatMap((row, i) => {
    const cells = Object.entries(row.cells).filter(([designator]) => kept.has(`${i} ${designator}`))
    return cells.length === 0 ? [] : [{ ...row, cells: Object.fromEntries(cells) }]
  })
  return { ...sheet, rows }
}
