import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Report } from '../../../server/contract/report.ts'
import { drawUpReport, reportFile } from '../../../server/report/make-report.ts'
import {
  ensurePoppler,
  overlappingWords,
  type PrintedPage,
  pdfPages,
  pdfText,
  wordsInMargins,
} from '../../tools/poppler.ts'
import type { Shop } from '../intake/shop.ts'
import { LONG_NAME, openReportShop, UNBROKEN } from './report-shop.ts'

/** A drawing of 300 characteristics whose names and sizes are as awkward as they come, printed. */

const COUNT = 300
const NAMES = [
  LONG_NAME,
  UNBROKEN,
  '支架总长度 微型铰链 基准面到孔轴线的距离',
  'طول الذراع الكلي',
  '🔧 clamp width',
  'length',
]
const SIZES = [
  { nominal: 1e-6, half: 2e-7 },
  { nominal: 1e6, half: 1e3 },
  { nominal: 12.5, half: 0.05 },
  { nominal: 0.0001, half: 0.00005 },
]
const CHARACTERISTICS = Array.from({ length: COUNT }, (_, i) => ({
  designator: String(i + 1),
  name: NAMES[i % NAMES.length] as string,
  kind: i % 5 === 0 ? 'flatness' : 'length',
  ...(SIZES[i % SIZES.length] as { nominal: number; half: number }),
}))

let shop: Shop
let report: Report
let text: string
let pages: PrintedPage[]

beforeAll(async () => {
  ensurePoppler(console.log)
  shop = await openReportShop(CHARACTERISTICS, 6)
  const partNumber = await shop.store.partNumber('HB-204', 'C')
  if (partNumber === null) throw new Error('not filled')
  report = await drawUpReport(shop.store, partNumber, { stage: 'sintered' }, 'Ines Quark')
  const pdf = await reportFile(report, { format: 'pdf', paper: 'letter', logo: null })
  text = pdfText(pdf, '-raw')
  pages = pdfPages(pdf)
}, 120_000)

afterAll(() => shop.close())

describe('a report of 300 characteristics with awkward names and sizes', () => {
  it('has every one of them on half a page', () => {
    expect(report.content.characteristics).toHaveLength(COUNT)
    const halves = pages
      .map(({ words }) => words.filter((word) => word.text === 'least,').length)
      .filter((count) => count > 0)
    expect(halves).toEqual(new Array(COUNT / 2).fill(2))
  })

  it('keeps every word on its page, and none on top of another', () => {
    expect(pages.flatMap(wordsInMargins)).toEqual([])
    expect(pages.flatMap(overlappingWords)).toEqual([])
  })

  it('has the names as they are or, where no font has them, as their codes, and says so', () => {
    const dense = text.replace(/[\s\u200e\u200f\u202a-\u202e]/g, '')
    expect(dense).toContain(`1${LONG_NAME}`.replaceAll(' ', ''))
    expect(dense).toContain(UNBROKEN)
    const codesOf = (name: string) =>
      [...name.replaceAll(' ', '')]
        .map((each) => `[U+${each.codePointAt(0)?.toString(16).toUpperCase()}]`)
        .join('')
    const isThere = (name: string, code = codesOf(name)) => [
      dense.includes(name.replaceAll(' ', '')),
      dense.includes(code),
    ]
    const chinese = isThere('支架总长度')
    const emoji = isThere('🔧')
    expect(chinese).toContain(true)
    expect(emoji).toContain(true)
    const lacks = [chinese, emoji].some(([asItIs]) => !asItIs)
    if (lacks) expect(text).toMatch(/No font on the machine that made this report has/)
  })

  it('has values of 1e-6 and 1e6 in full', () => {
    expect(text).toContain('0.000001 ±0.0000002 mm')
    expect(text).toContain('1000000 ±1000 mm')
    expect(text).toMatch(/mean (9\.\d{3}|1\.0\d\d)e−[67]/)
    expect(text).toMatch(/mean (999\d{3}|1000\d{3})\.\d/)
  })
})
