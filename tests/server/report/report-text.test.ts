import { describe, expect, it } from 'vitest'
import {
  figureText,
  NARROW,
  shareRangeText,
  shareText,
  valueText,
} from '../../../server/report/report-text.ts'

describe('a share of parts on paper', () => {
  it('keeps two digits, and is never as if none or all were sure', () => {
    // By hand: shares times 100 and a million, to two digits.
    expect(
      [0, 1e-320, 4.6e-8, 5.5e-7, 0.00085, 0.001, 0.0144, 0.2, 0.994, 0.996, 0.9999999999999956, 1].map(
        shareText,
      ),
    ).toEqual([
      '< 0.01 ppm',
      '< 0.01 ppm',
      '0.046 ppm',
      '0.55 ppm',
      '850 ppm',
      '0.10 %',
      '1.4 %',
      '20 %',
      '99.4 %',
      '99.6 %',
      '> 99.9 %',
      '> 99.9 %',
    ])
    expect(shareText(null)).toBe('–')
  })

  it('has its interval with the unit once', () => {
    expect(shareRangeText(1.1e-6, 2.8e-4)).toBe('1.1 to 280 ppm')
    expect(shareRangeText(1.1e-6, 0.02)).toBe('1.1 ppm to 2.0 %')
    expect(shareRangeText(0, 0)).toBe('< 0.01 ppm')
    expect(shareRangeText(0, 0.001)).toBe('< 0.01 ppm to 0.10 %')
  })
})

describe('a figure in a narrow column', () => {
  it('is not broken over two lines: 1e-6 and 1e6 have digits enough in eight characters', () => {
    for (const value of [0.00000998, 9.98e-7, 999984.239, 1000384.3, 10.02345, -999984.239]) {
      const [figure, measured] = [figureText(value, 8, NARROW), valueText(value, 3, NARROW)]
      expect(figure.replace('−', '-').length, figure).toBeLessThanOrEqual(9)
      expect(Number(figure.replaceAll('−', '-')) / value).toBeCloseTo(1, 3)
      expect(measured.replace('−', '-').length, measured).toBeLessThanOrEqual(9)
    }
  })
})
