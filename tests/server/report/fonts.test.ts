import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { fontFaces } from '../../../server/report/font-coverage.ts'
import { printFonts } from '../../../server/report/fonts.ts'

const NAMES = [
  'Höhe über Grund ⌀',
  '支架总长度',
  '高さ',
  'طول الذراع',
  'רוחב',
  'ความยาว',
  'लंबाई',
  '🔧 clamp 👩‍🔧',
  '\u{10fffd}',
]

describe('fonts to print with', () => {
  it.each(NAMES)('have a glyph for whatever they are given to write: %s', (name) => {
    const fonts = printFonts()
    const runs = fonts.runs(name)
    const files = fonts.dictionary()
    for (const { text, font } of runs) {
      const { normal } = files[font] as { normal: string | [string, string] }
      const [file, inCollection] = typeof normal === 'string' ? [normal, null] : normal
      const face = fontFaces(readFileSync(file)).find((each) => each.inCollection === inCollection)
      for (const character of text.replaceAll(/[ \n]/g, '')) {
        expect(face?.has(character.codePointAt(0) as number), `${character} in ${file}`).toBe(true)
      }
    }
    // What no font has is written as its code, and told of.
    const codes = runs
      .map(({ text }) => text)
      .join('')
      .match(/\[U\+[0-9A-F]{4,6}\]/g)
    expect(new Set(codes ?? []).size).toBe(fonts.missing().length)
  })

  it('write the code of what no font can have', () => {
    // The last code point of plane 16 is for private use: Unicode 15.1, section 23.5.
    const fonts = printFonts()
    expect(fonts.runs('a\u{10fffd}b')).toEqual([{ text: 'a[U+10FFFD]b', font: 'IBM Plex Sans' }])
    expect(fonts.missing()).toEqual(['\u{10fffd}'])
  })

  it('set words that run from the right so that they are read from the right', () => {
    // Unicode Standard Annex #9: the first word of such a sequence stands at its right.
    const words = (text: string) =>
      printFonts()
        .runs(text)
        .map((run) => run.text)
        .join('')
    expect(words('9 רוחב הזרוע, X')).toBe('9 הזרוע רוחב, X')
    expect(words('רוחב 12 הזרוע')).toBe('הזרוע 12 רוחב')
    expect(words('width of arm')).toBe('width of arm')
  })

  it('put the first words of such a name on its first line', () => {
    const name = 'רוחב הזרוע העליונה מן הציר אל הקצה'
    const lines = printFonts()
      .runs(`9 ${name}, X`, { width: 80, size: 8 })
      .map((run) => run.text)
      .join('')
      .split('\n')
    expect(lines.length).toBeGreaterThan(1)
    // Each line read from the right, one after another, gives the name again.
    const read = lines.map((line, i) => {
      const own = i === 0 ? line.replace(/^9 /, '') : line
      return own.replace(/, X$/, '').split(' ').reverse().join(' ')
    })
    expect(read.join(' ')).toBe(name)
    expect(lines[0]).toMatch(/^9 .*רוחב$/)
    expect(lines.at(-1)).toMatch(/, X$/)
  })
})
