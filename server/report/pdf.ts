import type { Content, TDocumentDefinitions } from 'pdfmake/interfaces.js'
import type { ReportDocument } from './document.ts'
import { type LineRoom, type PrintFonts, printFonts } from './fonts.ts'
import { sectionContent } from './pdf-blocks.ts'
import { margins, STYLES, sideMargin } from './pdf-style.ts'
import { MARGIN, type PaperSize } from './plate-size.ts'

export interface PrintOptions {
  readonly paper: PaperSize
  /** PNG or JPEG that `requireLogo` let through, to stand at the head of the first page; null for none. */
  readonly logo: Buffer | null
  /** Attached to the document under this name. */
  readonly attachment: { readonly name: string; readonly bytes: Buffer }
}

/**
 * The document on paper: selectable text, figures as outlines, an outline of headings, every page with its number.
 * The same document gives the same bytes.
 */
export async function pdfOf(document: ReportDocument, options: PrintOptions): Promise<Buffer> {
  const fonts = printFonts()
  const side = sideMargin(options.paper)
  const text = (words: string, room?: LineRoom) =>
    fonts.runs(words, room).map(({ text, font }) => ({ text, font }))
  const setting = { fonts, paper: options.paper, text }
  const content: Content[] = [
    ...(options.logo === null
      ? []
      : [{ image: dataAddress(options.logo), fit: [160, 42] as [number, number], margin: margins(0, 10) }]),
    { text: text(document.title), style: 'title' },
    ...document.sections.map((section) => sectionContent(section, setting)),
  ]
  const note = missingNote(fonts)
  if (note !== null) content.push({ text: text(note), style: 'small', margin: [0, 10, 0, 0] })
  const at = new Date(document.madeAt * 1000)
  const definition: TDocumentDefinitions = {
    pageSize: options.paper === 'a4' ? 'A4' : 'LETTER',
    pageMargins: [side, MARGIN.top, side, MARGIN.bottom],
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
      margin: [side, 18, side, 0],
    }),
    footer: (page, pages) => ({
      columns: [
        { text: text(document.foot), style: 'running' },
        { text: `page ${page} of ${pages}`, style: 'running', alignment: 'right' },
      ],
      margin: [side, 7, side, 0],
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
