import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { ReportCharacteristic, ReportContent } from '../../../server/contract/report.ts'
import { reportChanges } from '../../../server/report/compare.ts'
import { drawUpReport } from '../../../server/report/make-report.ts'
import type { Shop } from '../intake/shop.ts'
import { openReportShop } from './report-shop.ts'

/** What of a report is told to have changed: figures by name, and not the words around them. */

let shop: Shop
let content: ReportContent

beforeAll(async () => {
  shop = await openReportShop()
  const partNumber = await shop.store.partNumber('HB-204', 'C')
  if (partNumber === null) throw new Error('not filled')
  content = (await drawUpReport(shop.store, partNumber, { stage: 'sintered' }, 'Ines Quark')).content
}, 60_000)

afterAll(() => shop.close())

/** The content with one characteristic otherwise. */
function with5(change: (row: ReportCharacteristic) => ReportCharacteristic): ReportContent {
  return {
    ...content,
    characteristics: content.characteristics.map((row) =>
      row.characteristic.designator === '5' ? change(row) : row,
    ),
  }
}

describe('sentences that a later program words otherwise', () => {
  it('are no change, and named', () => {
    const reworded: ReportContent = {
      ...with5((row) => ({
        ...row,
        chartHeadline: 'Otherwise.',
        chartGrounds: 'In other words.',
        signals: row.signals.map((signal) => ({ ...signal, words: 'in other words' })),
      })),
      headline: 'All is well.',
      methods: content.methods.slice(1),
    }
    expect(reworded.characteristics.some(({ signals }) => signals.length > 0)).toBe(true)
    const { figures, since } = reportChanges(content, reworded)
    expect(figures).toEqual([])
    expect(since).toEqual([
      'Every figure is the same; some sentences would be worded otherwise now: headline, methods, charts of one characteristic.',
    ])
    expect(reportChanges(content, content)).toEqual({ figures: [], measuring: [], since: [] })
  })
})

describe('figures that are otherwise', () => {
  const meanOf = (change: (mean: number) => number) =>
    reportChanges(
      content,
      with5((row) => ({ ...row, summary: { ...row.summary, mean: change(row.summary.mean) } })),
    ).figures

  it('are named, to as many digits as tell them apart', () => {
    const [change, ...others] = meanOf((mean) => mean + 0.001)
    expect(others).toEqual([])
    expect(change).toMatchObject({ where: '5 +cmd', what: 'mean' })
    expect(change?.was).toMatch(/^16?[\d.]{1,6}$/)
    expect(Number(change?.is) - Number(change?.was)).toBeCloseTo(0.001, 3)
    const [fine] = meanOf((mean) => mean * (1 + 1e-8))
    expect(fine?.was).not.toBe(fine?.is)
    expect(meanOf((mean) => mean * (1 + 1e-12))).toEqual([])
  })

  it('bring the headline with them', () => {
    const now = {
      ...with5((row) => ({ ...row, summary: { ...row.summary, verdict: 'does not' as const } })),
      headline: 'Fewer hold.',
    }
    expect(reportChanges(content, now).figures.map(({ what }) => what)).toEqual(['verdict', 'headline'])
  })

  it('are told of a signal that is answered, and of one that is not there any more', () => {
    const answered = with5((row) => ({
      ...row,
      signals: row.signals.map((signal, i) => (i === 0 ? { ...signal, finding: 3 } : signal)),
    }))
    const told = reportChanges(content, answered).figures.map(({ was, is }) => was ?? is)
    expect(told).toHaveLength(2)
    expect(told[1]).toContain('answered by finding 3')
    const fewer = with5((row) => ({ ...row, signals: row.signals.slice(1) }))
    expect(reportChanges(content, fewer).figures).toMatchObject([{ what: 'signal', is: null }])
  })
})
