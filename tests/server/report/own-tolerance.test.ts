import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { ReportCharacteristic, ReportContent } from '../../../server/contract/report.ts'
import { reportContent } from '../../../server/report/report-data.ts'
import { openShop, type Shop } from '../intake/shop.ts'

/** Computed in R straight from the definitions; see own-tolerance.R beside it. */
const folder = join(import.meta.dirname, '../../reference/capability')
const expected = JSON.parse(readFileSync(join(folder, 'own-tolerance.json'), 'utf8')) as Record<
  'plain' | 'rayleigh' | 'both',
  Record<string, number>
> & { readonly outside: number }

const GAUGES =
  'gauge,kind,unit,resolution,expanded_uncertainty,coverage_factor,calibrated_on,part_number,revision,characteristics\n' +
  'CMM-1,coordinate measuring machine,mm,0.0001,0.012,2,2026-03-01,P-1,A,7\n'

describe('a report on parts with limits of their own', () => {
  let shop: Shop
  let content: ReportContent
  beforeAll(async () => {
    shop = await openShop()
    expect((await shop.bring(readFileSync(join(folder, 'own-tolerance.csv')))).verdict).toBe('taken')
    expect((await shop.bring(GAUGES)).verdict).toBe('taken')
    const partNumber = await shop.store.partNumber('P-1', 'A')
    if (partNumber === null) throw new Error('not on record')
    content = await reportContent(shop.store, partNumber, {
      stage: 'sintered',
      required: null,
      confidence: null,
      from: null,
      to: null,
      title: 'own limits',
    })
  })
  afterAll(() => shop.close())
  const of = (designator: string) =>
    content.characteristics.find(
      (row) => row.characteristic.designator === designator,
    ) as ReportCharacteristic
  const close = (value: number | null | undefined, wanted: number | undefined) => {
    expect(Math.abs((value ?? Number.NaN) / (wanted ?? Number.NaN) - 1)).toBeLessThan(1e-12)
  }

  it('states mean, sigma and Ppk of the multiples as R computes them', () => {
    const { summary, outside } = of('8')
    for (const key of ['mean', 'sigmaOverall'] as const) close(summary[key], expected.plain[key])
    expect(summary.shape?.byQuantiles ?? null).toBeNull()
    close(summary.ppk?.value, expected.plain.ppk)
    expect(outside).toEqual({ below: 0, above: expected.plain.outside })
    close(summary.ownTolerance?.least, expected.plain.least)
    close(summary.ownTolerance?.greatest, expected.plain.greatest)
  })

  it('judges positions by the distribution of the multiples, one-sided', () => {
    const { summary, outside } = of('7')
    const fitted = summary.shape?.fitted
    expect(fitted?.family).toBe('Rayleigh')
    close(fitted?.family === 'Rayleigh' ? fitted.sigma : null, expected.rayleigh.sigma)
    close(summary.ppk?.value, expected.rayleigh.ppk)
    close(summary.outside.above?.value, expected.rayleigh.above)
    expect(summary.outside.below).toBeNull()
    expect(summary.pp).toBeNull()
    expect(outside).toEqual({ below: 0, above: expected.outside })
  })

  it('judges what has two limits of its own by half widths from their middle', () => {
    const { summary, outside } = of('9')
    for (const key of ['mean', 'sigmaOverall'] as const) close(summary[key], expected.both[key])
    expect(summary.shape?.byQuantiles ?? null).toBeNull()
    close(summary.pp?.value, expected.both.pp)
    close(summary.ppk?.value, expected.both.ppk)
    close(summary.ownTolerance?.greatest, expected.both.greatest)
    expect(outside.below + outside.above).toBe(expected.both.outside)
  })

  it('compares the uncertainty of measuring with each part’s own limit, in the unit measured in', () => {
    const rows = readFileSync(join(folder, 'own-tolerance.csv'), 'utf8')
      .split('\n')
      .map((line) => line.split(','))
      .filter(([, , , , designator]) => designator === '7')
    const { gauge } = of('7')
    // With the step of its display added to what the certificate says.
    expect(gauge?.expanded).toBeCloseTo(0.012, 6)
    const expanded = gauge?.expanded as number
    const counts = { conforming: 0, 'not conforming': 0, 'inside the uncertainty': 0 }
    for (const row of rows) {
      const room = 0.25 + Number(row[7]) - Number(row[10])
      counts[
        room >= expanded ? 'conforming' : room < -expanded ? 'not conforming' : 'inside the uncertainty'
      ]++
    }
    expect(gauge?.conformity).toEqual(counts)
    expect(counts['inside the uncertainty']).toBeGreaterThan(0)
    // Indices are of multiples: the gauge's spread, in millimetres, cannot be taken out of them.
    expect(gauge?.ppk).toBeNull()
  })

  it('says so where the figures stand', () => {
    expect(content.grounds).toContain('Judged in units of the part’s own tolerance: 7, 8, 9.')
    expect(of('7').chartGrounds).toContain('The drawing states at most 0.25 mm.')
    expect(content.methods.map(({ what }) => what)).toContain('Tolerance of the part’s own')
  })
})
