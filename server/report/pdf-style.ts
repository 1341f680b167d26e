import type { CustomTableLayout } from 'pdfmake/interfaces.js'
import type { LineRoom, PrintFonts } from './fonts.ts'
import { PAPER_SIZES, type PaperSize, PLATE_TYPE, TEXT_WIDTH } from './plate-size.ts'

/** Between columns of a table. */
export const GAP = 8

/** What blocks are printed with. */
export interface Setting {
  readonly fonts: PrintFonts
  readonly paper: PaperSize
  /** @param room that its lines have, where it may be longer than one */
  text(words: string, room?: LineRoom): { text: string; font: string }[]
}

/** White on either side of the text. */
export function sideMargin(paper: PaperSize): number {
  return (PAPER_SIZES[paper].width - TEXT_WIDTH) / 2
}

export const STYLES = {
  title: { fontSize: 10, color: '#333333', margin: margins(0, 6) },
  lead: { fontSize: 18, lineHeight: 1.1, margin: margins(0, 8) },
  chapter: { fontSize: 13, bold: true, margin: margins(0, 6) },
  plate: { fontSize: PLATE_TYPE.heading, lineHeight: 1, bold: true, margin: margins(3, 1) },
  verdict: { fontSize: PLATE_TYPE.lead, lineHeight: 1, margin: margins(0, 5) },
  numbers: { fontSize: PLATE_TYPE.numbers, lineHeight: 1 },
  notes: { fontSize: PLATE_TYPE.notes, lineHeight: 1, color: '#333333', margin: margins(3, 0) },
  caption: { fontSize: 9, bold: true },
  head: { fontSize: 7.5, lineHeight: 1.05, color: '#333333' },
  cell: { fontSize: 8, lineHeight: 1.05 },
  small: { fontSize: 8 },
  running: { fontSize: 7.5, lineHeight: 1, color: '#333333' },
} as const

export function margins(above: number, below: number): [number, number, number, number] {
  return [0, above, 0, below]
}

/** What makes a text a bookmark of the document, below that of its chapter. */
export function bookmark(heading: string, chapter: string | null = null): object {
  const below = chapter === null ? {} : { outlineParentId: chapter }
  return { outline: true, outlineText: heading, id: heading, ...below }
}

export const HAIRLINES: CustomTableLayout = {
  // Nothing is ruled above the names of the columns.
  hLineWidth: (i, node) => {
    const heads = node.table.headerRows ?? 0
    return i === 0 || i < heads ? 0 : i === heads ? 0.8 : 0.4
  },
  vLineWidth: () => 0,
  hLineColor: (i, node) => (i === (node.table.headerRows ?? 0) ? '#000000' : '#c8c8c8'),
  paddingLeft: () => 0,
  paddingRight: () => GAP,
  paddingTop: () => 2.5,
  paddingBottom: () => 2.5,
}

/** Neither rules nor white. */
export const BARE: CustomTableLayout = {
  hLineWidth: () => 0,
  vLineWidth: () => 0,
  paddingLeft: () => 0,
  paddingRight: () => 0,
  paddingTop: () => 0,
  paddingBottom: () => 0,
}
