import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Report, ReportContent, ReportGauge } from '../../../server/contract/report.ts'
import type { Block, Plate, Table } from '../../../server/report/document.ts'
import { valueFigures } from '../../../server/report/figures.tsx'
import { layOut } from '../../../server/report/layout.ts'
import { drawUpReport } from '../../../server/report/make-report.ts'
import { valueText } from '../../../server/report/report-text.ts'
import { measuring } from '../../../server/report/sections/measuring.ts'
import { PAPER } from '../../../src/figures/palette.ts'
import type { Shop } from '../intake/shop.ts'
import { openReportShop } from './report-shop.ts'

/** What stands in the sections of a report, before it is printed. */

let shop: Shop
let report: Report

beforeAll(async () => {
  shop = await openReportShop()
  // One value of characteristic 5, 16 ±0.1 mm, outside.
  const taken = await shop.bring(
    'part_number,revision,serial,build,characteristic,value,gauge\nHB-204,C,S999,439,5,16.1234,CMM-1',
    {},
    'outside.csv',
  )
  if (taken.verdict !== 'taken') throw new Error(JSON.stringify(taken))
  const partNumber = await shop.store.partNumber('HB-204', 'C')
  if (partNumber === null) throw new Error('not filled')
  report = await drawUpReport(shop.store, partNumber, { stage: 'sintered' }, 'Ines Quark')
}, 60_000)

afterAll(() => shop.close())

const tables = (blocks: readonly Block[]): Table[] => blocks.filter((block) => block.kind === 'table')
const sectionOf = (heading: string) => {
  const section = layOut(report, 'a4').sections.find((each) => each.heading === heading)
  if (section === undefined) throw new Error(heading)
  return section
}
const cell = (table: Table, row: number, heading: RegExp) =>
  table.rows[row]?.[table.columns.findIndex((column) => heading.test(column.heading))]

describe('values outside the limits', () => {
  it('are counted in the first table, beside what is expected', () => {
    const [table] = tables(sectionOf('Verdict on each characteristic').blocks) as [Table]
    expect(cell(table, 4, /counted/)).toBe('1')
    expect(cell(table, 5, /counted/)).toBe('0')
    expect(report.content.grounds).toContain('Measured outside the limits: values of 5 +cmd.')
  })

  it('stand as they were measured, with no digit more', () => {
    const plates = sectionOf('Each characteristic').blocks as Plate[]
    const range = new Map(plates[4]?.numbers ?? []).get('least, greatest')
    expect(range).toMatch(/^15\.\d{3,4}, 16\.1234$/)
    expect(valueText(0.002, 3)).toBe('0.002')
    expect(valueText(25.95, 3)).toBe('25.950')
    expect(valueText(-0.5, 3)).toBe('−0.500')
    expect(valueText(1.2e-7, 3)).toBe('1.20e−7')
  })
})

describe('control limits from few builds', () => {
  it('are said to prove no control, on the first page and in each line', async () => {
    const few = await openReportShop(undefined, 6)
    try {
      const partNumber = await few.store.partNumber('HB-204', 'C')
      if (partNumber === null) throw new Error('not filled')
      const made = await drawUpReport(few.store, partNumber, { stage: 'sintered' }, 'Ines Quark')
      const [opening, verdicts] = layOut(made, 'a4').sections
      const said = opening?.blocks
        .flatMap((block) => (block.kind === 'paragraph' ? [block.text] : []))
        .join(' ')
      expect(said).toContain(
        'Control limits of all characteristics are provisional: too few builds to say that the process was in control.',
      )
      const [table] = tables(verdicts?.blocks ?? []) as [Table]
      expect(table.rows.map((_, i) => cell(table, i, /First signal/))).toEqual(
        Array.from({ length: table.rows.length }, () => 'none so far'),
      )
    } finally {
      await few.close()
    }
    expect(JSON.stringify(layOut(report, 'a4').sections[0])).not.toContain('provisional')
  }, 30_000)
})

describe('the probability plot', () => {
  it('has its band, by as many values as builds that differ leave', () => {
    const [row] = report.content.characteristics as [ReportContent['characteristics'][number]]
    expect(row.nEffective).toBeGreaterThan(1)
    expect(row.nEffective).toBeLessThanOrEqual(row.summary.n)
    const band = (of: typeof row) => {
      const [, plot] = valueFigures(of)
      return new RegExp(`<path d="([^"]*z)" fill="${PAPER.wash}"`).exec(plot?.svg ?? '')?.[1]
    }
    const wide = band({ ...row, nEffective: 20 })
    expect(band(row)).toMatch(/^M/)
    expect(wide).not.toBe(band(row))
    // Fewer independent values give a wider band, half of whose edge is its left side.
    const left = (path = '') => Math.min(...[...path.matchAll(/[ML]([\d.]+),/g)].map(([, x]) => Number(x)))
    expect(left(wide)).toBeLessThanOrEqual(left(band(row)))
  })
})

describe('the files and entries', () => {
  it('are a row for all characteristics that the same entries are about', () => {
    const shared: Report = {
      ...report,
      content: {
        ...report.content,
        characteristics: report.content.characteristics.map((row, i) => ({
          ...row,
          record: i === 2 ? [7] : [5, 6],
        })),
      },
    }
    const section = layOut(shared, 'a4').sections.find(
      ({ heading }) => heading === 'Where the values came from',
    )
    const table = tables(section?.blocks ?? []).at(-1) as Table
    expect(table.rows.map(([, entries]) => entries).slice(1)).toEqual(['entries 5 to 6', 'entry 7'])
    expect(table.rows[2]?.[0]).toMatch(/^3 /)
  })
})

describe('what measuring adds', () => {
  const index = (value: number) => ({ value, lower: value - 0.1, upper: value + 0.1, confidence: 0.95 })
  const gauge: ReportGauge = {
    name: 'MIC-3',
    study: 4,
    expanded: 0.00431,
    judgement: null,
    cpk: { plain: index(1.5), corrected: { value: 1.7, lower: 1.6, upper: null } },
    ppk: { plain: index(1.3), corrected: null },
    misjudged: null,
    conformity: { conforming: 170, 'inside the uncertainty': 9, 'not conforming': 1 },
  } as unknown as ReportGauge

  it('gives every index a line of its own, so that none stands beside another’s name', () => {
    const [first] = report.content.characteristics as [ReportContent['characteristics'][number]]
    const content = { ...report.content, characteristics: [{ ...first, gauge }] }
    const [section] = measuring(content)
    const [values, alone] = tables(section?.blocks ?? []) as [Table, Table]
    expect(values.rows[0]?.slice(2)).toEqual(['MIC-3, study 4', '0.0043', '170', '9', '1'])
    expect(alone.rows.map((row) => row.slice(2))).toEqual([
      ['Cpk', '1.50', '1.40 to 1.60', '1.70', '1.60 to no limit'],
      ['Ppk', '1.30', '1.20 to 1.40', 'none is left', ''],
    ])
    for (const row of alone.rows) expect(row.join()).not.toContain('\n')
  })
})
