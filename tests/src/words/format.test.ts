import { describe, expect, it } from 'vitest'
import type { Characteristic } from '../../../src/domain/characteristic.ts'
import {
  countWord,
  drawingDecimals,
  formatCount,
  formatNumber,
  formatSigned,
  meanDecimals,
} from '../../../src/words/format.ts'

const characteristic: Characteristic = {
  id: 1,
  designator: '9',
  name: 'step',
  kind: 'length',
  nominal: 12.4,
  lower: 12.32,
  upper: 12.48,
  unit: 'mm',
  axis: 'Z',
}

describe('numbers as they are shown', () => {
  it('carry a true minus sign, and none before a rounded zero', () => {
    expect(formatNumber(-0.125, 3)).toBe('−0.125')
    expect(formatNumber(-0.0001, 3)).toBe('0.000')
    expect(formatSigned(0.5, 1)).toBe('+0.5')
    expect(formatSigned(0, 1)).toBe('0.0')
    expect(formatSigned(-2, 0)).toBe('−2')
  })

  it('round what stands halfway as a decimal away from zero, whichever side its binary fraction lies on', () => {
    // 1.005 is 1.00499… and 1.015 is 1.01499… in binary; 0.125 is exact, and 1.0049999 is not halfway.
    expect(
      [1.005, 1.015, 0.125, 8.345, 10.2345].map((value) => formatNumber(value, value === 10.2345 ? 3 : 2)),
    ).toEqual(['1.01', '1.02', '0.13', '8.35', '10.235'])
    expect(formatNumber(-1.005, 2)).toBe('−1.01')
    expect(formatNumber(1.0049999, 2)).toBe('1.00')
    expect(formatNumber(0.5, 0)).toBe('1')
    expect(formatNumber(2.5e-7, 7)).toBe('0.0000003')
    expect(formatNumber(5e-7, 6)).toBe('0.000001')
    expect(formatNumber(1e21, 2)).toBe('1e+21')
  })

  it('group thousands, and are words up to twenty', () => {
    expect(formatCount(1536)).toBe('1,536')
    expect(formatCount(12345678)).toBe('12,345,678')
    expect(countWord(0)).toBe('no')
    expect(countWord(20)).toBe('twenty')
    expect(countWord(1021)).toBe('1,021')
  })

  it('have the decimals of the drawing and then some', () => {
    expect(drawingDecimals(characteristic)).toBe(2)
    expect(meanDecimals(characteristic)).toBe(4)
    expect(drawingDecimals({ ...characteristic, nominal: null, lower: null, upper: 1e-7 })).toBe(7)
    expect(drawingDecimals({ ...characteristic, nominal: null, lower: null, upper: 1.5e-7 })).toBe(8)
    expect(drawingDecimals({ ...characteristic, nominal: null, lower: null, upper: 1e21 })).toBe(0)
    expect(meanDecimals({ ...characteristic, nominal: 1, lower: null, upper: null, unit: 'in' })).toBe(5)
  })
})
