import { execFileSync, spawnSync } from 'node:child_process'
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { PNG } from 'pngjs'

/** Reads PDF files with Poppler's programs, of the Debian package poppler-utils. */

const PROGRAMS = [
  'pdftotext',
  'pdftoppm',
  'pdftocairo',
  'pdfinfo',
  'pdffonts',
  'pdfdetach',
  'pdftohtml',
] as const
type Program = (typeof PROGRAMS)[number]

/**
 * See that Poppler is there, or install it, saying so.
 *
 * @throws Error telling what to do where that does not work
 */
export function ensurePoppler(say: (text: string) => void): void {
  if (isThere()) return
  for (const args of [['update'], ['install', '--yes', '--no-install-recommends', 'poppler-utils']]) {
    say(`No Poppler found; trying apt-get ${args.join(' ')}`)
    spawnSync('apt-get', args, { stdio: 'inherit', timeout: 300_000 })
    if (isThere()) return
  }
  throw new Error('Poppler could not be found or installed. Install the package poppler-utils.')
}

function isThere(): boolean {
  return PROGRAMS.every((name) => spawnSync(name, ['-v']).error === undefined)
}

function run(program: Program, pdf: Uint8Array, before: readonly string[], after: readonly string[]): string {
  const folder = mkdtempSync(join(tmpdir(), 'as-sintered-pdf-'))
  try {
    const file = join(folder, 'report.pdf')
    writeFileSync(file, pdf)
    return execFileSync(program, [...before, file, ...after], { encoding: 'utf8', maxBuffer: 1 << 28 })
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

/** The text as it can be selected: as it stands on the page, or in the order in which it was written. */
export function pdfText(pdf: Uint8Array, order: '-layout' | '-raw' = '-layout'): string {
  return run('pdftotext', pdf, [order], ['-'])
}

/** Files inside the document, by name. */
export function pdfAttachments(pdf: Uint8Array): ReadonlyMap<string, string> {
  const folder = mkdtempSync(join(tmpdir(), 'as-sintered-pdf-'))
  try {
    const file = join(folder, 'report.pdf')
    const inside = join(folder, 'inside')
    mkdirSync(inside)
    writeFileSync(file, pdf)
    execFileSync('pdfdetach', ['-saveall', '-o', inside, file])
    return new Map(readdirSync(inside).map((name) => [name, readFileSync(join(inside, name), 'utf8')]))
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

export interface Bookmark {
  /** 1 for those at the top. */
  readonly level: number
  readonly title: string
}

/** The outline, by the items that Poppler makes of it in XML. */
export function pdfBookmarks(pdf: Uint8Array): Bookmark[] {
  const xml = run('pdftohtml', pdf, ['-xml', '-i', '-stdout'], [])
  const outline = xml.slice(xml.indexOf('<outline>'), xml.lastIndexOf('</outline>'))
  const bookmarks: Bookmark[] = []
  let level = 0
  for (const [whole, title] of outline.matchAll(/<outline>|<\/outline>|<item[^>]*>(.*?)<\/item>/gs)) {
    if (whole === '<outline>') level++
    else if (whole === '</outline>') level--
    else
      bookmarks.push({ level, title: (title as string).replaceAll('&quot;', '"').replaceAll('&amp;', '&') })
  }
  return bookmarks
}

export function pdfInfo(pdf: Uint8Array): ReadonlyMap<string, string> {
  const lines = run('pdfinfo', pdf, [], []).trimEnd().split('\n')
  return new Map(
    lines.map((line) => [line.slice(0, line.indexOf(':')), line.slice(line.indexOf(':') + 1).trim()]),
  )
}

/** Names of the fonts that are not embedded. */
export function fontsNotEmbedded(pdf: Uint8Array): string[] {
  return run('pdffonts', pdf, [], [])
    .trimEnd()
    .split('\n')
    .slice(2)
    .filter((line) => !/ yes (yes|no) (yes|no) +\d+ +\d+ *$/.test(line))
}

/** A word where it is printed, in points from the upper left corner of its page. */
export interface PrintedWord {
  readonly text: string
  readonly x0: number
  readonly y0: number
  readonly x1: number
  readonly y1: number
}

export interface PrintedPage {
  readonly width: number
  readonly height: number
  readonly words: readonly PrintedWord[]
}

export function pdfPages(pdf: Uint8Array): PrintedPage[] {
  const xml = run('pdftotext', pdf, ['-bbox'], ['-'])
  return xml
    .split('<page ')
    .slice(1)
    .map((page) => ({
      width: Number(/width="([\d.]+)"/.exec(page)?.[1]),
      height: Number(/height="([\d.]+)"/.exec(page)?.[1]),
      words: [
        ...page.matchAll(
          /<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*?)<\/word>/g,
        ),
      ].map(([, x0, y0, x1, y1, text]) => ({
        text: text as string,
        x0: Number(x0),
        y0: Number(y0),
        x1: Number(x1),
        y1: Number(y1),
      })),
    }))
}

/** The programs of Poppler that draw, each in its own way. */
export type Drawer = 'pdftoppm' | 'pdftocairo'

/** A page as a picture, in red, green, blue and opacity. */
export function pagePicture(pdf: Uint8Array, page: number, dpi: number, drawer: Drawer = 'pdftoppm'): PNG {
  const folder = mkdtempSync(join(tmpdir(), 'as-sintered-pdf-'))
  try {
    const file = join(folder, 'report.pdf')
    writeFileSync(file, pdf)
    const which = ['-f', String(page), '-l', String(page), '-singlefile']
    execFileSync(drawer, ['-png', '-r', String(dpi), ...which, file, join(folder, 'page')])
    return PNG.sync.read(readFileSync(join(folder, 'page.png')))
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}

/** Shares of the page's pixels that are not white, and the greatest difference of red, green and blue in any pixel. */
export function pageInk(pdf: Uint8Array, page: number): { readonly ink: number; readonly colour: number } {
  const { data } = pagePicture(pdf, page, 50)
  let [inked, colour] = [0, 0]
  for (let i = 0; i < data.length; i += 4) {
    const rgb = [...data.subarray(i, i + 3)]
    if (Math.min(...rgb) < 250) inked++
    colour = Math.max(colour, Math.max(...rgb) - Math.min(...rgb))
  }
  return { ink: inked / (data.length / 4), colour }
}

/** White at the sides of a page that nothing is printed on, and at its head and foot, in points. */
const MARGINS = { side: 41, ends: 18 }

/** Words that stand in a margin, or outside the page. */
export function wordsInMargins({ width, height, words }: PrintedPage): string[] {
  const { side, ends } = MARGINS
  return words
    .filter(({ x0, x1, y0, y1 }) => x0 < side || x1 > width - side || y0 < ends || y1 > height - ends)
    .map(({ text, x0, y0 }) => `${text} at ${x0}, ${y0}`)
}

/** Pairs of words whose boxes share more than a quarter of a line's height and a point of width. */
export function overlappingWords({ words }: PrintedPage): string[] {
  const found: string[] = []
  const byTop = [...words].sort((a, b) => a.y0 - b.y0)
  for (const [i, a] of byTop.entries()) {
    for (let k = i + 1; k < byTop.length; k++) {
      const b = byTop[k] as PrintedWord
      if (b.y0 >= a.y1) break
      const tall = Math.min(a.y1, b.y1) - b.y0
      const wide = Math.min(a.x1, b.x1) - Math.max(a.x0, b.x0)
      if (tall > 0.35 * Math.min(a.y1 - a.y0, b.y1 - b.y0) && wide > 1) found.push(`${a.text} | ${b.text}`)
    }
  }
  return found
}
