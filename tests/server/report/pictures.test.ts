import { readFileSync } from 'node:fs'
import { PNG } from 'pngjs'
import { beforeAll, describe, expect, it } from 'vitest'
import type { Report } from '../../../server/contract/report.ts'
import type { DrawnFigure, Plate } from '../../../server/report/document.ts'
import { pageDifference } from '../../tools/page-difference.ts'
import { type Drawer, ensurePoppler, pagePicture } from '../../tools/poppler.ts'
import { PICTURE_DPI, PICTURED, type PicturedPage, picturedReport, printed } from './pictured-pages.ts'

/**
 * Share of a window of an inch: below it pages look the same, above it something is missing or elsewhere. Another program
 * that draws differs by up to 0.08, the least picture that is missing by 0.23.
 */
const MOST_DIFFERENT = 0.15

let report: Report
const pdfs = new Map<string, Buffer>()

beforeAll(async () => {
  ensurePoppler(console.log)
  report = await picturedReport()
  for (const paper of ['a4', 'letter'] as const) pdfs.set(paper, await printed(report, paper))
}, 60_000)

const reference = ({ name }: PicturedPage) =>
  PNG.sync.read(readFileSync(new URL(`../../reference/report/${name}`, import.meta.url)))

describe('pages of the report', () => {
  it.each(PICTURED)('look as they did: $name', (pictured) => {
    const picture = pagePicture(pdfs.get(pictured.paper) as Buffer, pictured.page, PICTURE_DPI)
    expect(pageDifference(picture, reference(pictured))).toBeLessThan(MOST_DIFFERENT)
  })

  it.each(PICTURED)('look so whichever program draws them: $name', (pictured) => {
    const drawer: Drawer = 'pdftocairo'
    const picture = pagePicture(pdfs.get(pictured.paper) as Buffer, pictured.page, PICTURE_DPI, drawer)
    expect(pageDifference(picture, reference(pictured))).toBeLessThan(MOST_DIFFERENT)
  })

  const blank = (figure: DrawnFigure): DrawnFigure => ({
    ...figure,
    svg: figure.svg.replace(/^(<svg [^>]*>).*(<\/svg>)$/s, '$1$2'),
  })
  const without: [string, (plate: Plate) => Plate][] = [
    [
      'the histogram',
      (plate) => ({ ...plate, beside: plate.beside.map((each, i) => (i === 0 ? blank(each) : each)) }),
    ],
    [
      'the probability plot',
      (plate) => ({ ...plate, beside: plate.beside.map((each, i) => (i === 1 ? blank(each) : each)) }),
    ],
    ['the control chart', (plate) => ({ ...plate, below: plate.below && blank(plate.below) })],
    ['its numbers', (plate) => ({ ...plate, numbers: plate.numbers.map(() => ['', ''] as const) })],
  ]
  it.each(without)('do not where a characteristic lacks %s', async (_, change) => {
    const pictured = PICTURED[1] as PicturedPage
    const changed = (plate: Plate) => (plate.heading.startsWith('4 ') ? change(plate) : plate)
    const picture = pagePicture(await printed(report, pictured.paper, changed), pictured.page, PICTURE_DPI)
    expect(pageDifference(picture, reference(pictured))).toBeGreaterThan(MOST_DIFFERENT)
  })
})
