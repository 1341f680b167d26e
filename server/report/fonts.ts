import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { homedir, tmpdir } from 'node:os'
import { dirname, extname, join } from 'node:path'
import { textWidth } from '../../src/figures/text-width.ts'
import { type FontFace, fontFaces, sfntOfWoff } from './font-coverage.ts'

/** A piece of text that one font can write. */
export interface TextRun {
  readonly text: string
  /** Key of `PrintFonts.dictionary`. */
  readonly font: string
}

/** A file by its path; in a collection, with the name of the font. */
type FontFile = string | [string, string]

/** How wide a line is, and how large its type, in points. */
export interface LineRoom {
  readonly width: number
  readonly size: number
}

export interface PrintFonts {
  /**
   * The text in pieces by font; what no font has is written as its code, such as [U+1F600].
   * @param room that its lines have: words that run from the right are broken into lines by it
   */
  runs(text: string, room?: LineRoom): TextRun[]
  /** The fonts that `runs` has named so far, and the one for everything. */
  dictionary(): Record<string, { normal: FontFile; bold: FontFile }>
  /** Characters that no font on this machine has, in the order in which they came. */
  missing(): readonly string[]
}

/** The font of everything that it can write. It comes in files for parts of Unicode, the first being the common one. */
const FAMILY = 'IBM Plex Sans'
const SUBSETS = ['latin', 'latin-ext', 'greek', 'cyrillic', 'cyrillic-ext', 'vietnamese']

/** Where systems keep their fonts. */
const SYSTEM_FOLDERS = [
  '/usr/share/fonts',
  '/usr/local/share/fonts',
  join(homedir(), '.local', 'share', 'fonts'),
  join(homedir(), '.fonts'),
  '/System/Library/Fonts',
  '/Library/Fonts',
  'C:\\Windows\\Fonts',
]

const FONT_FILES = new Set(['.ttf', '.otf', '.ttc', '.otc'])
/** Larger files are read as a whole only to look into them. */
const LARGEST_FILE = 64 << 20

/**
 * Tables that place and join letters of a word. Its Latin, Greek and Cyrillic read well without kerning, and words are
 * then measured several times as fast.
 */
const PLACING = ['GPOS', 'GSUB', 'GDEF']

interface KnownFont {
  readonly key: string
  readonly face: FontFace
  readonly normal: FontFile
  readonly bold: FontFile
}

let embedded: readonly KnownFont[] | null = null
let system: readonly KnownFont[] | null = null

/** The fonts to print with: IBM Plex Sans, and what else the machine has for scripts that it lacks. */
export function printFonts(): PrintFonts {
  embedded ??= plexFonts()
  const plex = embedded
  const used = new Map<string, KnownFont>()
  const chosen = new Map<number, KnownFont | null>()
  const missing: string[] = []
  const first = plex[0] as KnownFont
  used.set(first.key, first)

  const fontFor = (codePoint: number): KnownFont | null => {
    const known = chosen.get(codePoint)
    if (known !== undefined) return known
    let font = plex.find(({ face }) => face.has(codePoint)) ?? null
    if (font === null) {
      system ??= systemFonts()
      // One that is in use already before another: a name stays in one hand.
      font =
        [...used.values()].find(({ face }) => face.has(codePoint)) ??
        system.find(({ face }) => face.has(codePoint)) ??
        null
    }
    chosen.set(codePoint, font)
    if (font === null) missing.push(String.fromCodePoint(codePoint))
    else used.set(font.key, font)
    return font
  }

  return {
    runs(text, room) {
      const runs: { text: string; font: string }[] = []
      for (const character of wordsInPlace(clean(text), room)) {
        const last = runs.at(-1)
        // Spaces go with what stands before them, so that words are not torn into pieces; but a word that runs from the
        // right would have them on its left.
        if (character === ' ' || character === '\n') {
          const before = last?.text.at(-1) ?? ''
          if (last === undefined || FROM_THE_RIGHT.test(before))
            runs.push({ text: character, font: first.key })
          else last.text += character
          continue
        }
        const code = character.codePointAt(0) as number
        const font = fontFor(code)
        const key = font?.key ?? first.key
        const shown = font === null ? `[U+${code.toString(16).toUpperCase().padStart(4, '0')}]` : character
        if (last !== undefined && last.font === key) last.text += shown
        else runs.push({ text: shown, font: key })
      }
      return runs.length === 0 ? [{ text: '', font: first.key }] : runs
    },
    dictionary: () =>
      Object.fromEntries([...used.values()].map(({ key, normal, bold }) => [key, { normal, bold }])),
    missing: () => missing,
  }
}

const RIGHT = '\\p{sc=Arab}\\p{sc=Hebr}\\p{sc=Syrc}\\p{sc=Thaa}\\p{sc=Nkoo}'
const FROM_THE_RIGHT = new RegExp(`[${RIGHT}]`, 'u')
const WORDS_FROM_THE_RIGHT = new RegExp(
  `[${RIGHT}\\p{M}]+(?: [${RIGHT}\\p{M}\\p{Nd}]+)* [${RIGHT}\\p{M}]+`,
  'gu',
)

/**
 * Words that run from the right in the order in which they stand on a line: the printer turns the letters of each, but
 * sets the words one after another from the left. It would also break them into lines from the left, so that those of a
 * name that is longer than a line are put on lines here, the first words on the first.
 */
function wordsInPlace(text: string, room: LineRoom | undefined): string {
  if (!FROM_THE_RIGHT.test(text)) return text
  return text.replace(WORDS_FROM_THE_RIGHT, (words: string, at: number) => {
    const before = text.slice(text.lastIndexOf('\n', at) + 1, at)
    const lines = room === undefined ? [words.split(' ')] : linesOf(words.split(' '), before, room)
    return lines.map((line) => line.reverse().join(' ')).join('\n')
  })
}

/** Letters of other fonts may be wider than they are reckoned; a line that ends early is no harm. */
const LOOSE = 1.1

/** @param before what stands on the first line already */
function linesOf(words: readonly string[], before: string, { width, size }: LineRoom): string[][] {
  const widthOf = (text: string) => LOOSE * textWidth(text, size)
  const lines: string[][] = [[]]
  let taken = widthOf(before)
  for (const word of words) {
    const line = lines.at(-1) as string[]
    const needed = widthOf(`${word} `)
    if (line.length > 0 && taken + needed > width) {
      lines.push([word])
      taken = needed
    } else {
      line.push(word)
      taken += needed
    }
  }
  return lines
}

/** Without controls, which have no glyph, and with joined accents, which have one. */
function clean(text: string): string {
  return text.normalize('NFC').replace(/(?!\n)[\p{Cc}\p{Cf}]/gu, ' ')
}

function plexFonts(): KnownFont[] {
  const require = createRequire(import.meta.url)
  const folder = join(dirname(require.resolve('@fontsource/ibm-plex-sans/package.json')), 'files')
  // The printer reads fonts from files, and not in the format that they come in.
  const unpacked = mkdtempSync(join(tmpdir(), 'as-sintered-fonts-'))
  process.once('exit', () => rmSync(unpacked, { recursive: true, force: true }))
  return SUBSETS.flatMap((subset): KnownFont[] => {
    const embed = (weight: number) => {
      const name = `ibm-plex-sans-${subset}-${weight}-normal`
      const file = join(unpacked, `${name}.ttf`)
      writeFileSync(file, sfntOfWoff(readFileSync(join(folder, `${name}.woff`)), PLACING))
      return file
    }
    const [normal, bold] = [embed(400), embed(600)]
    const [face] = fontFaces(readFileSync(normal))
    const key = subset === 'latin' ? FAMILY : `${FAMILY} ${subset}`
    return face === undefined ? [] : [{ key, face, normal, bold }]
  })
}

/** Upright sans-serif fonts first, those for writing programs and the slanted last. */
function systemFonts(): KnownFont[] {
  const fonts = SYSTEM_FOLDERS.flatMap(filesBelow)
    .filter((file) => FONT_FILES.has(extname(file).toLowerCase()))
    .sort()
    .flatMap((file): KnownFont[] => {
      if (statSync(file).size > LARGEST_FILE) return []
      return fontFaces(readFileSync(file)).map((face) => {
        const at: FontFile = face.inCollection === null ? file : [file, face.inCollection]
        return { key: file, face, normal: at, bold: at }
      })
    })
  return fonts
    .map((font) => ({ font, rank: rankOf(font.face.name) }))
    .sort((a, b) => a.rank - b.rank)
    .map(({ font }, i) => ({ ...font, key: `other ${i + 1}` }))
}

function rankOf(name: string): number {
  let rank = 0
  if (/italic|oblique|slanted/i.test(name)) rank += 8
  if (/bold|black|heavy|thin|extralight|condensed|narrow/i.test(name)) rank += 4
  if (/mono|typewriter|math|symbol/i.test(name)) rank += 2
  if (/serif/i.test(name) && !/sans/i.test(name)) rank += 1
  return rank
}

function filesBelow(folder: string): string[] {
  if (!existsSync(folder)) return []
  return readdirSync(folder, { withFileTypes: true }).flatMap((entry) => {
    const path = join(folder, entry.name)
    if (entry.isDirectory()) return filesBelow(path)
    return entry.isFile() ? [path] : []
  })
}
