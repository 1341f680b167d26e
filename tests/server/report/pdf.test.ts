import { writeFileSync } from 'node:fs'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Report } from '../../../server/contract/report.ts'
import { reportIn } from '../../../server/report/attached.ts'
import { drawUpReport, reportFile } from '../../../server/report/make-report.ts'
import {
  ensurePoppler,
  fontsNotEmbedded,
  overlappingWords,
  pageInk,
  pdfAttachments,
  pdfBookmarks,
  pdfInfo,
  pdfPages,
  pdfText,
  wordsInMargins,
} from '../../tools/poppler.ts'
import type { Shop } from '../intake/shop.ts'
import { CHARACTERISTICS, LONG_NAME, openReportShop } from './report-shop.ts'

let shop: Shop
let report: Report
const pdfs = new Map<'a4' | 'letter', Buffer>()

beforeAll(async () => {
  ensurePoppler(console.log)
  shop = await openReportShop()
  const partNumber = await shop.store.partNumber('HB-204', 'C')
  if (partNumber === null) throw new Error('not filled')
  const wanted = { stage: 'sintered' as const, required: 1.33, confidence: 0.95 }
  report = {
    ...(await drawUpReport(shop.store, partNumber, wanted, 'Ines Quark')),
    number: 12,
    madeAt: 1_790_000_000,
  }
  for (const paper of ['a4', 'letter'] as const) {
    pdfs.set(paper, await reportFile(report, { format: 'pdf', paper, logo: null }))
  }
  if (process.env.KEEP_REPORT) writeFileSync(process.env.KEEP_REPORT, pdfs.get('a4') as Buffer)
}, 60_000)

afterAll(() => shop.close())

const pdf = (paper: 'a4' | 'letter' = 'a4') => pdfs.get(paper) as Buffer

/** Text without white space, since long names are broken into lines. */
const squeezed = (text: string) => text.replace(/\s/g, '')

describe('the printed report', () => {
  it('has the size of its paper, a title, an author and the attached data', () => {
    // ISO 216: A4 is 210 mm × 297 mm; ANSI/ASME Y14.1: letter is 8.5 in × 11 in; a point is 1/72 in.
    expect(pdfInfo(pdf()).get('Page size')).toMatch(/^595\.28 x 841\.89 pts/)
    expect(pdfInfo(pdf('letter')).get('Page size')).toMatch(/^612 x 792 pts/)
    const info = pdfInfo(pdf())
    expect(info.get('Title')).toBe('What the process holds: HB-204 revision C, sintered')
    expect(info.get('Author')).toBe('Ines Quark')
    expect(info.get('JavaScript')).toBe('no')
    expect(reportIn(pdf())).toEqual(JSON.parse(JSON.stringify(report)))
    const attached = pdfAttachments(pdf())
    expect([...attached.keys()]).toEqual(['report.json'])
    expect(JSON.parse(attached.get('report.json') as string)).toEqual(JSON.parse(JSON.stringify(report)))
  })

  it('embeds every font', () => {
    expect(fontsNotEmbedded(pdf())).toEqual([])
  })

  it('has a bookmark for every chapter, and below theirs for every characteristic', () => {
    const bookmarks = pdfBookmarks(pdf())
    const chapters = bookmarks.filter(({ level }) => level === 1).map(({ title }) => title)
    expect(chapters).toEqual([
      'Verdict on each characteristic',
      'Figures',
      'Each characteristic',
      'Where the values came from',
      'Signals, and what is left out',
      'How it was computed',
      'Cautions, and who answers for this report',
    ])
    const own = bookmarks.filter(({ level }) => level === 2).map(({ title }) => title)
    expect(own).toHaveLength(CHARACTERISTICS.length)
    expect(own[6]).toContain('Höhe, 高さ, высота, ύψος')
  })

  it('has selectable text: verdict, scope, fingerprint, every name, methods, cautions, places to sign', () => {
    const text = pdfText(pdf())
    const dense = squeezed(text)
    expect(dense).toContain(squeezed(report.content.headline))
    expect(dense).toContain(report.fingerprint)
    expect(text).toContain('builds 410 to 439: 30 builds, 180 parts, 1,260 values')
    expect(dense).toContain(squeezed(`${LONG_NAME}, X`))
    for (const name of ['-1+1', '+cmd', '@SUM(1)', 'Höhe,', '高さ', 'высота', 'ύψος'])
      expect(dense).toContain(squeezed(name))
    expect(text).toContain('Accepted for the customer by (signature)')
    expect(dense).toContain(squeezed('the drawing and the customer’s requirements govern'))
    const inOrder = squeezed(pdfText(pdf(), '-raw'))
    for (const { how, source } of report.content.methods) expect(inOrder).toContain(squeezed(how + source))
    for (const { sha256 } of report.content.sources.imports) expect(dense).toContain(sha256)
    expect(dense).toContain('1000000.')
  })

  it('repeats head and foot on every page and numbers the pages', () => {
    const pages = pdfText(pdf()).split('\f').slice(0, -1)
    expect(pages).toHaveLength(Number(pdfInfo(pdf()).get('Pages')))
    for (const [i, page] of pages.entries()) {
      expect(page).toContain('HB-204 revision C, sintered, report 12')
      expect(page).toContain(`page ${i + 1} of ${pages.length}`)
      expect(page).toContain(`fingerprint ${report.fingerprint.slice(0, 16)}`)
    }
    // Verdicts, figures, half a page of each, where they came from, what is open, methods, and who answers for it.
    expect(pages.length).toBeLessThanOrEqual(2 + Math.ceil(CHARACTERISTICS.length / 2) + 5)
  })

  it.each(['a4', 'letter'] as const)('keeps every word within the margins of %s', (paper) => {
    expect(pdfPages(pdf(paper)).flatMap(wordsInMargins)).toEqual([])
  })

  it.each(['a4', 'letter'] as const)('has no words on top of each other on %s', (paper) => {
    expect(pdfPages(pdf(paper)).flatMap(overlappingWords)).toEqual([])
  })

  it.each(['a4', 'letter'] as const)('has each characteristic on half a page of %s, never split', (paper) => {
    const halves = pdfPages(pdf(paper)).flatMap(({ height, words }) => {
      const at = (text: string) => words.filter((word) => word.text === text).map(({ y0 }) => y0 / height)
      // What every half begins and ends with: the first of its numbers, and where its limits come from.
      return [{ begin: at('least,'), end: at('Limits') }]
    })
    const pages = halves.filter(({ begin }) => begin.length > 0)
    expect(pages.map(({ end }) => end.length)).toEqual([2, 2, 2, 1])
    for (const { begin, end } of pages) {
      expect(begin).toHaveLength(end.length)
      expect(end[0]).toBeLessThan(0.53)
      if (end.length === 2) expect(begin[1]).toBeGreaterThan(0.47)
    }
  })

  it('is drawn in black and greys', () => {
    for (let page = 1; page <= Number(pdfInfo(pdf()).get('Pages')); page++) {
      const { ink, colour } = pageInk(pdf(), page)
      expect(ink).toBeGreaterThan(0.004)
      expect(ink).toBeLessThan(0.5)
      expect(colour).toBeLessThanOrEqual(2)
    }
  }, 30_000)

  it('has the same bytes for the same report', async () => {
    const again = await reportFile(report, { format: 'pdf', paper: 'a4', logo: null })
    expect(again.equals(pdf())).toBe(true)
  })
})
