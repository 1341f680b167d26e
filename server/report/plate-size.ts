import { textWidth } from '../../src/figures/text-width.ts'
import type { Plate } from './document.ts'

export type PaperSize = 'a4' | 'letter'

/** Points. ISO 216 and ANSI/ASME Y14.1. */
export const PAPER_SIZES = {
  a4: { width: 595.28, height: 841.89 },
  letter: { width: 612, height: 792 },
} as const
export const MARGIN = { top: 40, bottom: 36 }
/** Points of a heading of a chapter with the white below it. */
const CHAPTER_HEIGHT = 26

/** Points that lines are long on either paper. */
export const TEXT_WIDTH = 511.28
/** Points of a pixel of a figure, so that its text is set at 7 points. */
export const FIGURE_SCALE = 0.6
/** Points between pictures. */
export const PLATE_GAP = 8

/** Pixels of the pictures beside the numbers of a plate, and of the one below them. */
export const BESIDE = { width: 282, height: 200 } as const
export const BELOW_WIDTH = TEXT_WIDTH / FIGURE_SCALE
const LEAST_BELOW = 190
const MOST_BELOW = 300

/** Type sizes of a plate. */
export const PLATE_TYPE = { heading: 10.5, lead: 9, numbers: 7.2, notes: 7.2 } as const
/** Height of a line of IBM Plex Sans, of its type size. */
const LINE = 1.3
/** White between the parts of a plate and above the next, in all. */
const PLATE_AIR = 36
/** What is set bold or broken at words takes so much more than its letters. */
const LOOSE = 1.05

/** Points of half of what a page has room for below the heading of a chapter. */
export function halfPage(paper: PaperSize): number {
  return (PAPER_SIZES[paper].height - MARGIN.top - MARGIN.bottom - CHAPTER_HEIGHT) / 2
}

/** Pixels of height that the words of a plate leave to the picture below, down to the least that is of use. */
export function roomBelow(
  { heading, lead, notes, numbers }: Pick<Plate, 'heading' | 'lead' | 'notes' | 'numbers'>,
  paper: PaperSize,
): number {
  const words =
    textHeight(heading, PLATE_TYPE.heading) +
    textHeight(lead, PLATE_TYPE.lead) +
    textHeight(notes, PLATE_TYPE.notes)
  const middle = Math.max(BESIDE.height * FIGURE_SCALE, numbers.length * PLATE_TYPE.numbers * LINE)
  const left = halfPage(paper) - PLATE_AIR - words - middle
  return Math.floor(Math.max(LEAST_BELOW, Math.min(MOST_BELOW, left / FIGURE_SCALE)))
}

/** Points that a text takes in lines of the full width; words that are wider than a line begin one and are broken. */
function textHeight(text: string, size: number): number {
  if (text === '') return 0
  let lines = 1
  let taken = 0
  for (const word of text.split(' ')) {
    const width = textWidth(`${word} `, size) * LOOSE
    if (taken + width <= TEXT_WIDTH) taken += width
    else {
      lines += taken === 0 ? 0 : 1
      lines += Math.ceil(width / TEXT_WIDTH) - 1
      taken = width % TEXT_WIDTH
    }
  }
  return lines * size * LINE
}
