import type { Content } from 'pdfmake/interfaces.js'
import { compactSvg } from './compact-svg.ts'
import type { DrawnFigure, Plate } from './document.ts'
import { BARE, bookmark, margins, type Setting } from './pdf-style.ts'
import { BESIDE, FIGURE_SCALE, halfPage, PLATE_GAP, PLATE_TYPE, TEXT_WIDTH } from './plate-size.ts'
import { svgInFonts } from './svg-fonts.ts'

/**
 * Plates, two to a page, each on its half of it; one that is taller takes what it needs, and none is split.
 *
 * @param chapter heading that their bookmarks stand under
 */
export function platePages(plates: readonly Plate[], chapter: string | null, setting: Setting): Content {
  return {
    table: {
      widths: [TEXT_WIDTH],
      heights: halfPage(setting.paper),
      dontBreakRows: true,
      body: plates.map((plate) => [plateContent(plate, chapter, setting)]),
    },
    layout: BARE,
  }
}

function plateContent(
  { heading, lead, numbers, beside, below, notes }: Plate,
  chapter: string | null,
  setting: Setting,
): Content {
  const { text } = setting
  // Numbers without pictures keep their width: a figure far from its name is read in the wrong line.
  const pictures = 2 * (BESIDE.width * FIGURE_SCALE + PLATE_GAP)
  return {
    stack: [
      { canvas: [{ type: 'line', x1: 0, y1: 0, x2: TEXT_WIDTH, y2: 0, lineWidth: 0.6 }] },
      {
        text: text(heading, { width: TEXT_WIDTH, size: PLATE_TYPE.heading }),
        style: 'plate',
        ...bookmark(heading, chapter),
      },
      { text: text(lead, { width: TEXT_WIDTH, size: PLATE_TYPE.lead }), style: 'verdict' },
      {
        columns: [
          numbersContent(numbers, TEXT_WIDTH - pictures, setting),
          ...beside.map((figure) => pictureOf(figure, setting)),
        ],
        columnGap: PLATE_GAP,
      },
      ...(below === null ? [] : [{ stack: [pictureOf(below, setting)], margin: margins(5, 0) }]),
      ...(notes === '' ? [] : [{ text: text(notes), style: 'notes' }]),
    ],
  }
}

function numbersContent(numbers: Plate['numbers'], width: number, { text }: Setting): Content {
  const names = NAMES_WIDTH
  return {
    width,
    table: {
      widths: [names, width - names],
      body: numbers.map(([name, value]) => [
        { text: name, color: '#333333' },
        { text: text(value), alignment: 'right' },
      ]),
    },
    layout: BARE,
    style: 'numbers',
  } as Content
}

const NAMES_WIDTH = 60

function pictureOf({ svg, width, height }: DrawnFigure, { fonts }: Setting): Content & { width: number } {
  return {
    svg: svgInFonts(compactSvg(svg), fonts),
    width: width * FIGURE_SCALE,
    height: height * FIGURE_SCALE,
  }
}
