import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { CapabilityDetailView, WhatIfView } from '../../../server/contract/capability-detail.ts'
import type { Report } from '../../../server/contract/report.ts'
import type { ChartView, DriftView } from '../../../server/contract/views.ts'
import { notJudged } from '../../../src/capability/not-judged.ts'
import { plain } from '../../../src/words/sentence.ts'
import { type RunningServer, startServer } from '../../tools/running-server.ts'

/**
 * Values and limits at the edge of what can be computed, through the running server: each has its figures, or none, on
 * every page.
 */

/** Twelve builds of three parts. */
function rows(
  partNumber: string,
  value: (build: number, part: number) => number,
  written: (value: number) => string,
): string {
  const lines = ['part_number,revision,serial,build,characteristic,value']
  for (let build = 1; build <= 12; build++) {
    for (let part = 1; part <= 3; part++) {
      lines.push(`${partNumber},A,${build}-${part},b${build + 10},1,${written(value(build, part))}`)
    }
  }
  return lines.join('\n')
}

let server: RunningServer

beforeAll(async () => {
  server = await startServer()
})
afterAll(() => server.stop())

async function bring(
  partNumber: string,
  limits: string,
  value: (build: number, part: number) => number,
  written = (each: number) => each.toFixed(3),
) {
  const heading = 'part_number,revision,designator,name,kind,nominal,lower,upper,unit'
  await server.bring(`${partNumber}-limits.csv`, `${heading}\n${partNumber},A,1,size,length,${limits},mm`)
  const receipt = await server.bring(`${partNumber}.csv`, rows(partNumber, value, written))
  expect(receipt.verdict).toBe('taken')
  const base = `/api/part-numbers/${partNumber}/A`
  return {
    drift: await server.get<DriftView>(`${base}/drift`),
    chart: await server.get<ChartView>(`${base}/characteristics/1/chart`),
    detail: await server.get<CapabilityDetailView>(`${base}/characteristics/1/capability`),
    alike: await server.get<WhatIfView>(`${base}/characteristics/1/what-if?alike=true`),
    report: await server.get<Report>(`${base}/report?format=json`),
    pdf: (await fetch(`${server.url}${base}/report?format=pdf`)).status,
  }
}

describe('values that are the same inside each build, and differ between builds', () => {
  it('have a chart, indices by what builds add, and a report', async () => {
    const { chart, detail, alike, report, pdf } = await bring(
      'SAME-INSIDE',
      '10,9.9,10.1',
      (build) => 10 + ((7 * build) % 11) / 1000,
    )
    // F is beyond all numbers, and JSON has no infinity.
    const test = chart.chart.phases[0]?.betweenTest
    expect([test?.f, test?.p, test?.differs]).toEqual([null, 0, true])
    expect(plain(chart.grounds)).toContain('where nothing scatters')
    const summary = detail.measured?.summary
    expect(summary?.sigmaWithin).toBe(0)
    // With nothing inside, the scatter of neighbours is all there is: sigma between is that which Cp takes.
    expect(summary?.sigmaBetween).toBe(summary?.sigmaInControl)
    expect((summary?.cp?.value ?? 0) * 6 * (summary?.sigmaBetween ?? 0)).toBeCloseTo(0.2, 12)
    expect(alike.supposed).toBeNull()
    expect(plain(alike.words)).toContain('All values of a build are the same')
    expect(report.content.characteristics).toHaveLength(1)
    expect(pdf).toBe(200)
  })
})

describe('limits that are the same', () => {
  it('leave no tolerance: Cp is 0, Cpk the distance from the limit, and all is outside', async () => {
    const { drift, detail, report, pdf } = await bring(
      'NO-TOLERANCE',
      '10,10,10',
      (build, part) => 10.02 + ((7 * build + 3 * part) % 11) / 1000,
    )
    const summary = detail.measured?.summary
    const { mean, sigmaOverall } = summary as NonNullable<typeof summary>
    expect(summary?.pp).toMatchObject({ value: 0, lower: 0, upper: 0 })
    expect(summary?.ppk?.value).toBeCloseTo((10 - mean) / (3 * (sigmaOverall as number)), 12)
    expect(summary?.outside.total?.value).toBeCloseTo(1, 12)
    expect(summary?.toleranceUsed).toBeNull()
    expect(summary?.verdict).toBe('does not')
    expect(drift.overview.rows[0]?.spread).toBeNull()
    expect(report.content.characteristics).toHaveLength(1)
    expect(pdf).toBe(200)
  })
})

describe('values that are all the same, beyond their limit', () => {
  it('have no index, and no page or report says that limits are missing', async () => {
    const { detail, report, pdf } = await bring('ALL-SAME', '10,9.9,10.1', () => 10.12)
    const summary = detail.measured?.summary
    expect([summary?.sigmaOverall, summary?.ppk, summary?.verdict]).toEqual([null, null, null])
    expect(detail.measured?.seenOutside.above?.count).toBe(36)
    expect(plain(detail.headline)).toContain('tell no spread')
    expect(plain(detail.grounds)).toContain('All of them lie outside the limits, at 10.120.')
    expect(report.content.headline).toBe(
      'No characteristic can be judged yet: their values tell no spread, or are too few.',
    )
    expect(report.content.grounds).toContain('Measured outside the limits: values of 1 size.')
    const [row] = report.content.characteristics
    expect(row === undefined ? null : notJudged({ ...row.summary, characteristic: row.characteristic })).toBe(
      'no spread',
    )
    expect(pdf).toBe(200)
  })
})

describe('values of 1e-5, 1e7 and with 1e8 before them', () => {
  const value = (build: number, part: number) => 10 + ((7 * build + 5 * part * part) % 23) / 1000
  // Every decimal is exact in the file, so that only the doubles that hold it differ: by their last bit, of sigma with a large
  // offset by that of the offset, 1.5e-8.
  it.each([
    [
      'TINY',
      1e-6,
      1e-9,
      '0.00001,0.0000099,0.0000101',
      (v: number) => `0.${(v * 1e3).toFixed(0).padStart(9, '0')}`,
    ],
    ['HUGE', 1e6, 1e-9, '10000000,9900000,10100000', (v: number) => (v * 1e6).toFixed(0)],
    ['OFFSET', 1, 1e-5, '100000010,100000009.9,100000010.1', (v: number) => `1000000${v.toFixed(3)}`],
  ] as const)(
    '%s have the indices that they have near 10',
    async (name, scale, tolerance, limits, written) => {
      const plainOnes = await bring(`PLAIN-${name}`, '10,9.9,10.1', value)
      const scaled = await bring(name, limits, value, written)
      const [a, b] = [plainOnes, scaled].map(({ detail }) => detail.measured?.summary)
      const near = (x: number | null | undefined, y: number | null | undefined) =>
        expect(Math.abs((y as number) / (x as number) - 1)).toBeLessThan(tolerance)
      near(a?.sigmaWithin, (b?.sigmaWithin as number) / scale)
      near(a?.sigmaOverall, (b?.sigmaOverall as number) / scale)
      for (const index of ['cp', 'cpk', 'pp', 'ppk'] as const) {
        near(a?.[index]?.value, b?.[index]?.value)
        near(a?.[index]?.lower, b?.[index]?.lower)
        near(a?.[index]?.upper, b?.[index]?.upper)
      }
      expect(scaled.chart.chart.signals).toEqual(plainOnes.chart.chart.signals)
      expect(scaled.pdf).toBe(200)
    },
  )
})

it('refuses limits that are crossed, with the row that says so', async () => {
  const heading = 'part_number,revision,designator,name,kind,nominal,lower,upper,unit'
  const receipt = await server.bring('crossed.csv', `${heading}\nCROSSED,A,1,size,length,10,10.1,9.9,mm`)
  expect(receipt.verdict).toBe('refused')
  expect(receipt.refused[0]).toMatchObject({ line: 2, column: 'upper', value: '9.9' })
})
