import type { DoubtChoices, Receipt } from '../../server/contract/receipt.ts'
import { type Characteristic, writtenUnit } from '../../src/domain/characteristic.ts'
import { designatorOf, OWN_FIELDS, ownCell, ownFields } from './typed-own-limits.ts'
import { decimalOf, filledCells, type TypedSheet } from './typed-sheet.ts'

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
/** Column of the values in that file, counted from 1. */
const VALUE_COLUMN = HEADINGS.indexOf('value') + 1

/**
 * The sheet as a file of measurements. The same sheet always gives the same bytes, so that handing it in a second time,
 * after a power cut, is recognised.
 */
export function fileOfSheet(sheet: TypedSheet, characteristics: readonly Characteristic[]): File {
  const byDesignator = new Map(characteristics.map((each) => [each.designator, each]))
  const own = OWN_FIELDS.filter((field) => characteristics.some((each) => ownFields(each).includes(field)))
  const load = sheet.conditions?.furnace_load?.trim() ?? ''
  const lines = filledCells(sheet).map(({ row, serial, designator, cell }) => [
    sheet.number,
    sheet.revision,
    sheet.build,
    serial,
    designator,
    decimalOf(cell.text) ?? cell.text.trim(),
    unitOf(byDesignator.get(designator)),
    sheet.stage,
    sheet.gauge,
    sheet.inspector,
    cell.at,
    ...own.map((field) => {
      const text = sheet.rows[row]?.cells[ownCell(designator, field)]?.text ?? ''
      return decimalOf(text) ?? text.trim()
    }),
    ...(load === '' ? [] : [load]),
  ])
  const headings = [...HEADINGS, ...own, ...(load === '' ? [] : ['furnace_load'])]
  const text = [headings, ...lines].map((fields) => `${fields.map(quoted).join(',')}\n`).join('')
  return new File([text], `typed ${sheet.build} ${sheet.id}.csv`, { type: 'text/csv' })
}

function unitOf(characteristic: Characteristic | undefined): string {
  return characteristic === undefined ? '' : writtenUnit(characteristic)
}

/** Decisions on doubts, as they go with the file of the sheet: those of other cells are still asked about. */
export function decisionsOf(sheet: TypedSheet): DoubtChoices {
  const rows = filledCells(sheet).flatMap(({ cell }, i) =>
    (cell.kept ?? []).map((kind) => ({
      kind,
      // The headings are line 1.
      line: i + 2,
      // A part measured before is doubted as a whole.
      position: kind === 'measured-before' ? null : VALUE_COLUMN,
      decision: 'keep' as const,
    })),
  )
  return { rows }
}

function quoted(text: string): string {
  return /[",\r\n]|^\s|\s$/.test(text) ? `"${text.replaceAll('"', '""')}"` : text
}

/**
 * What is left of the sheet once a receipt says what was taken in: the cells that were refused, and those that were typed
 * or changed since it was handed in; null where there are none.
 */
export function leftOfSheet(
  sheet: TypedSheet,
  handedIn: TypedSheet,
  { verdict, refused }: Pick<Receipt, 'verdict' | 'refused'>,
): TypedSheet | null {
  if (verdict !== 'taken' && verdict !== 'known' && verdict !== 'taken-in-part') return sheet
  const all = filledCells(handedIn)
  // The headings are line 1.
  const kept = new Set(
    refused.map(({ line }) => all[line - 2]).map((each) => `${each?.row} ${each?.designator}`),
  )
  const rows = sheet.rows.flatMap((row, i) => {
    const before = handedIn.rows[i]?.cells ?? {}
    const cells = Object.entries(row.cells).filter(([cell, { text, at }]) => {
      const designator = designatorOf(cell)
      // A limit of the part's own goes with its value.
      const isIn = before[cell]?.text === text && before[cell]?.at === at && before[designator] !== undefined
      return !isIn || kept.has(`${i} ${designator}`)
    })
    return cells.length === 0 ? [] : [{ ...row, cells: Object.fromEntries(cells) }]
  })
  return rows.length === 0 ? null : { ...sheet, rows }
}

/** What can be said of a build that is not on record: heading of its file, words, and how it is typed. */
export const BUILD_CONDITIONS = [
  { heading: 'printed_at', words: 'Printed', type: 'datetime-local' },
  { heading: 'printer', words: 'Printer', type: 'text' },
  { heading: 'build_box', words: 'Build box', type: 'text' },
  { heading: 'powder_lot', words: 'Powder lot', type: 'text' },
  { heading: 'powder_reuse', words: 'Powder reuse count', type: 'number' },
  { heading: 'scale_x', words: 'Scale factor X', type: 'number' },
  { heading: 'scale_y', words: 'Scale factor Y', type: 'number' },
  { heading: 'scale_z', words: 'Scale factor Z', type: 'number' },
] as const

/** The same of a furnace load; its name comes first, and goes with every value. */
export const LOAD_CONDITIONS = [
  { heading: 'sintered_at', words: 'Sintered', type: 'datetime-local' },
  { heading: 'furnace', words: 'Furnace', type: 'text' },
  { heading: 'profile', words: 'Profile', type: 'text' },
  { heading: 'atmosphere', words: 'Atmosphere', type: 'text' },
] as const

/** Files of the build and of the furnace load, for what the sheet says of those that are not on record. */
export function conditionFiles(sheet: TypedSheet, isNew: { build: boolean; load: boolean }): File[] {
  const said = sheet.conditions ?? {}
  const fileOf = (what: string, name: string, fields: readonly { readonly heading: string }[]): File[] => {
    const filled = fields.flatMap(({ heading }) => {
      const text = (said[heading] ?? '').trim()
      return text === '' ? [] : [[heading, text] as const]
    })
    if (name === '' || filled.length === 0) return []
    const headings = [what, ...filled.map(([heading]) => heading)]
    const values = [name, ...filled.map(([, text]) => text)]
    const text = [headings, values].map((row) => `${row.map(quoted).join(',')}\n`).join('')
    return [new File([text], `typed ${what} ${name} ${sheet.id}.csv`, { type: 'text/csv' })]
  }
  return [
    ...(isNew.build ? fileOf('build', sheet.build, BUILD_CONDITIONS) : []),
    ...(isNew.load ? fileOf('furnace_load', (said.furnace_load ?? '').trim(), LOAD_CONDITIONS) : []),
  ]
}
