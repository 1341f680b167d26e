import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { findDecimalMark, NumberReader } from '../../../server/intake/numbers.ts'

describe('reading numbers', () => {
  const point = () => new NumberReader(',', '.')

  it('as they are written', () => {
    const written: [string, number][] = [
      ['42', 42],
      ['42.010', 42.01],
      ['-0.5', -0.5],
      ['+3', 3],
      ['.5', 0.5],
      ['5.', 5],
      ['1e-3', 0.001],
      ['1.5E+2', 150],
      ['−2', -2],
      ['007', 7],
      ['0', 0],
      ['0.000', 0],
      ['25.399999999999999999', 25.4],
    ]
    for (const [text, number] of written) expect(point().read(text)).toBe(number)
  })

  it('parted into thousands, where it is certain that they are', () => {
    const written: [string, number][] = [
      ["1'000", 1000],
      ['1 000', 1000],
      ['12\u202f345.5', 12_345.5],
      ['1,234.5', 1234.5],
      ['1,234,567', 1_234_567],
      ['-1\u00a0000.25', -1000.25],
    ]
    for (const [text, number] of written) expect(point().read(text), text).toBe(number)
    const comma = new NumberReader(';', ',')
    expect(comma.read('1.234,5')).toBe(1234.5)
    // Once the file has shown what its points are for, one alone is known too.
    expect(comma.read('1.234')).toBe(1234)
    expect(point().read('1,234')).toBeNaN()
    expect(point().read('1,23.5')).toBeNaN()
    expect(point().read('1 23')).toBeNaN()
  })

  it('refuses what only looks like one', () => {
    const wrong = [
      '',
      '-',
      '.',
      '+',
      'e5',
      '1e',
      '1e5.5',
      '0x10',
      '0b1',
      '1_000',
      '12,5',
      '1.2.3',
      '--1',
      '1-',
      'Infinity',
      'NaN',
      '1e400',
      '1e-400',
      '2e9',
      '١٢',
      '1/2',
      '5%',
      '<0.1',
      '12.5mm',
    ]
    for (const text of wrong) {
      const reader = point()
      expect(reader.read(text), text).toBeNaN()
      expect(reader.reason.length, text).toBeGreaterThan(10)
    }
  })

  it('reads every finite decimal as the nearest double', () => {
    fc.assert(
      fc.property(fc.double({ min: -1e6, max: 1e6, noNaN: true }), (number) => {
        const text = String(number)
        if (number !== 0 && Math.abs(number) < 1e-99) return
        expect(point().read(text)).toBe(number === 0 ? 0 : number)
        const comma = new NumberReader(';', ',')
        expect(comma.read(text.replace('.', ','))).toBe(number === 0 ? 0 : number)
      }),
    )
  })

  it('never takes arbitrary text for a number that it is not', () => {
    fc.assert(
      fc.property(fc.string(), (text) => {
        const number = point().read(text)
        if (!Number.isNaN(number)) expect(number).toBe(Number(text.replace('−', '-').replace('–', '-')) || 0)
      }),
    )
  })

  it('holds to the first decimal mark it meets', () => {
    const reader = new NumberReader(';', null)
    expect(reader.read('12')).toBe(12)
    expect(reader.mark).toBeNull()
    expect(reader.read('12,5')).toBe(12.5)
    expect(reader.mark).toBe(',')
    expect(reader.read('12.5')).toBeNaN()
    expect(reader.reason).toMatch(/decimal commas/)
  })

  it('leaves a comma between commas open where it could part thousands', () => {
    const reader = new NumberReader(',', null)
    expect(reader.read('1,234')).toBeNaN()
    expect(reader.reason).toMatch(/could be 1234 or 1\.234/)
    expect(reader.read('12,34')).toBe(12.34)
    expect(reader.read('1,234')).toBe(1.234)
  })
})

describe('finding the decimal mark', () => {
  it('from fields of numbers', () => {
    expect(findDecimalMark(['12', '12.5'], ',')).toBe('.')
    expect(findDecimalMark(['12', '12,5'], ';')).toBe(',')
    expect(findDecimalMark(['12', 'text, with comma'], ';')).toBeNull()
    expect(findDecimalMark(['1,234'], ',')).toBeNull()
    expect(findDecimalMark(['0,234'], ',')).toBe(',')
    expect(findDecimalMark(['1,234', '1.5'], ';')).toBe('.')
    expect(findDecimalMark(['1.234,5'], ';')).toBe(',')
    expect(findDecimalMark(['1,234.5'], ';')).toBe('.')
    expect(findDecimalMark(['12,5 mm'], ';')).toBe(',')
  })
})
