import type { Content, CustomTableLayout, TDocumentDefinitions } from 'pdfmake/interfaces.js'
import { compactSvg } from './compact-svg.ts'
import type { Block, ReportDocument, Section, Table } from './document.ts'
import { type PrintFonts, printFonts } from './fonts.ts'
import { svgInFonts } from './svg-fonts.ts'

export type PaperSize = 'a4' | 'letter'

export interface PrintOptions {
  readonly paper: PaperSize
  /** PNG or JPEG, to stand at the head of the first page; null for none. */
  readonly logo: Buffer | null
  /** Attached to the document under this name. */
  readonly attachment: { readonly name: string; readonly bytes: Buffer }
}

/** Points. */
const SIZES = { a4: { width: 595.28, height: 841.89 }, letter: { width: 612, height: 792 } } as const
const MARGIN = { side: 42, top: 48, bottom: 44 }
const GAP = 8

/**
 * The document on paper: selectable text, figures as outlines, an outline of headings, every page with its number.
 * The same document gives the same bytes.
 *
 * @throws Error where the logo is no picture that can be read
 */
export async function pdfOf(document: ReportDocument, options: PrintOptions): Promise<Buffer> {
  const fonts = printFonts()
  const width = SIZES[options.paper].width - 2 * MARGIN.side
  const text = (words: string) => fonts.runs(words).map(({ text, font }) => ({ text, font }))
  const blocks = { fonts, width, text }
  const content: Content[] = [
    ...(options.logo === null
      ? []
      : [{ image: dataAddress(options.logo), fit: [160, 42] as [number, number], margin: margins(0, 10) }]),
    { text: text(document.title), style: 'title' },
    ...document.sections.map((section) => sectionContent(section, blocks)),
  ]
  const note = missingNote(fonts)
  if (note !== null) content.push({ text: text(note), style: 'small', margin: [0, 10, 0, 0] })
  const at = new Date(document.madeAt * 1000)
  const definition: TDocumentDefinitions = {
    pageSize: options.paper === 'a4' ? 'A4' : 'LETTER',
    pageMargins: [MARGIN.side, MARGIN.top, MARGIN.side, MARGIN.bottom],
    version: '1.7',
    language: 'en-GB',
    displayTitle: true,
    info: {
      title: document.title,
      author: document.author,
      creator: 'as-sintered',
      producer: 'as-sintered',
      creationDate: at,
      modDate: at,
    },
    header: () => ({
      text: text(cut(document.running, 110)),
      style: 'running',
      margin: [MARGIN.side, 22, MARGIN.side, 0],
    }),
    footer: (page, pages) => ({
      columns: [
        { text: text(document.foot), style: 'running' },
        { text: `page ${page} of ${pages}`, style: 'running', alignment: 'right' },
      ],
      margin: [MARGIN.side, 12, MARGIN.side, 0],
    }),
    content,
    defaultStyle: { font: 'IBM Plex Sans', fontSize: 9, lineHeight: 1.15 },
    styles: STYLES,
    files: {
      [options.attachment.name]: {
        src: `data:application/json;base64,${options.attachment.bytes.toString('base64')}`,
        description: 'Everything that this report states, as data',
        creationDate: at,
        modifiedDate: at,
        relationship: 'Data',
      } as never,
    },
  }
  // Nothing is fetched, and only fonts are read.
  const files = new Set(
    Object.values(fonts.dictionary()).flatMap(({ normal, bold }) => [normal, bold].map(fileOf)),
  )
  // Loaded where a report is printed: the server itself does not, and would hold it in memory.
  const { default: pdfmake } = await import('pdfmake')
  pdfmake.setUrlAccessPolicy(() => false)
  pdfmake.setLocalAccessPolicy((path) => files.has(path))
  pdfmake.setFonts(fonts.dictionary() as never)
  return await pdfmake.createPdf(definition).getBuffer()
}

function fileOf(font: string | [string, string]): string {
  return typeof font === 'string' ? font : font[0]
}

const STYLES = {
  title: { fontSize: 10, color: '#333333', margin: margins(0, 6) },
  lead: { fontSize: 18, lineHeight: 1.1, margin: margins(0, 8) },
  chapter: { fontSize: 13, bold: true, margin: margins(0, 6) },
  part: { fontSize: 10.5, bold: true, margin: margins(8, 2) },
  caption: { fontSize: 9, bold: true },
  head: { fontSize: 7.5, color: '#333333' },
  cell: { fontSize: 8 },
  small: { fontSize: 8 },
  running: { fontSize: 7.5, color: '#333333' },
} as const

function margins(above: number, below: number): [number, number, number, number] {
  return [0, above, 0, below]
}

const HAIRLINES: CustomTableLayout = {
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

interface Setting {
  readonly fonts: PrintFonts
  /** Points between the margins. */
  readonly width: number
  text(words: string): { text: string; font: string }[]
}

function sectionContent({ heading, level, blocks }: Section, setting: Setting): Content {
  const head: Content[] =
    heading === null
      ? []
      : [
          {
            text: setting.text(heading),
            style: level === 1 ? 'chapter' : 'part',
            headlineLevel: level,
            outline: true,
            outlineText: heading,
            // A chapter begins a page, so that no heading stands at the foot of one.
            ...(level === 1 ? { pageBreak: 'before' } : {}),
          } as Content,
        ]
  const [first, ...others] = blocks
  // A heading stays with the group that it heads.
  if (first?.kind === 'group') {
    const kept = { unbreakable: true, stack: [...head, blockContent(first, setting)], style: 'small' }
    return { stack: [kept, ...others.map((block) => blockContent(block, setting))] }
  }
  return { stack: [...head, ...blocks.map((block) => blockContent(block, setting))] }
}

function blockContent(block: Block, setting: Setting): Content {
  const { text, width } = setting
  switch (block.kind) {
    case 'lead':
      return { text: text(block.text), style: 'lead' }
    case 'paragraph':
      return { text: text(block.text), margin: margins(0, 4) }
    case 'list':
      return {
        stack: block.items.map((item) => ({
          columns: [
            { width: 10, text: '–' },
            { width: '*', text: text(item) },
          ],
        })),
        margin: margins(4, 6),
      }
    case 'facts':
      return {
        table: {
          widths: [70, width - 70 - 2 * GAP],
          body: block.facts.map(([name, value]) => [{ text: name, color: '#333333' }, { text: text(value) }]),
        },
        layout: HAIRLINES,
        margin: margins(6, 6),
      }
    case 'group':
      return {
        unbreakable: true,
        stack: block.blocks.map((each) => blockContent(each, setting)),
        style: 'small',
      }
    case 'table':
      return tableContent(block, setting)
    case 'figures': {
      const each = (width - GAP * (block.figures.length - 1)) / block.figures.length
      return {
        columns: block.figures.map(({ svg, width: own, height }) => ({
          svg: svgInFonts(compactSvg(svg), setting.fonts),
          width: each,
          height: (each * height) / own,
        })),
        columnGap: GAP,
        margin: margins(2, 4),
      }
    }
    case 'signatures':
      return {
        unbreakable: true,
        margin: margins(10, 0),
        stack: block.roles.map((role) => ({
          margin: [0, 22, 0, 0] as [number, number, number, number],
          columns: [role, 'Name', 'Date'].map((what, i) => ({
            width: i === 2 ? 90 : '*',
            stack: [
              { canvas: [{ type: 'line', x1: 0, y1: 0, x2: lineLength(width, i), y2: 0, lineWidth: 0.6 }] },
              { text: i === 0 ? `${what} (signature)` : what, style: 'head', margin: margins(2, 0) },
            ] as Content[],
          })),
          columnGap: 16,
        })),
      }
  }
}

/** Points of a line to sign on; the last one is for a date. */
function lineLength(width: number, column: number): number {
  return column === 2 ? 90 : (width - 90 - 2 * 16) / 2
}

function tableContent({ caption, columns, rows }: Table, setting: Setting): Content {
  const { text, width } = setting
  const shares = columns.reduce((sum, { share }) => sum + share, 0)
  const room = width - GAP * columns.length
  const cells = columns.map(({ heading, align }) => ({
    text: text(heading),
    style: 'head',
    alignment: align,
  }))
  const named = caption === null ? [] : [{ text: text(caption), style: 'caption', colSpan: columns.length }]
  const blank = columns.slice(1).map(() => '')
  const heads = caption === null ? [cells] : [[...named, ...blank], cells]
  return {
    table: {
      headerRows: heads.length,
      keepWithHeaderRows: 1,
      dontBreakRows: true,
      widths: columns.map(({ share }) => (room * share) / shares),
      body: [
        ...heads,
        ...rows.map((row) =>
          row.map((cell, i) => ({
            text: text(cell),
            style: 'cell',
            alignment: columns[i]?.align ?? 'left',
          })),
        ),
      ],
    },
    layout: HAIRLINES,
    margin: margins(0, 10),
  }
}

function missingNote(fonts: PrintFonts): string | null {
  const missing = fonts.missing()
  if (missing.length === 0) return null
  return `No font on the machine that made this report has ${missing.length === 1 ? 'one character' : `${missing.length} characters`} of the names in it; each is written as its Unicode number in brackets.`
}

function cut(words: string, most: number): string {
  const characters = [...words]
  return characters.length <= most ? words : `${characters.slice(0, most - 1).join('')}…`
}

function dataAddress(picture: Buffer): string {
  const kind = picture[0] === 0x89 ? 'png' : 'jpeg'
  return `data:image/${kind};base64,${picture.toString('base64')}`
}
