import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { ArgumentError } from '../../../src/errors.ts'
import { addDecimals, divideDecimals, multiplyDecimals, negateDecimal } from '../../../src/numbers/decimal.ts'

describe('decimal arithmetic', () => {
  it('adds limits as a drawing does, not as binary floats do', () => {
    // In binary 25.4 − 0.1 is 25.299999999999997 (IEEE 754).
    expect(addDecimals('25.4', '-0.1')).toBe('25.3')
    expect(addDecimals('25.4', '0.1')).toBe('25.5')
    expect(addDecimals('0.1', '0.2')).toBe('0.3')
    expect(addDecimals('8', '-0.015')).toBe('7.985')
    expect(addDecimals('1e3', '.5')).toBe('1000.5')
    expect(addDecimals('5.', '-5.0')).toBe('0')
    expect(addDecimals('-0.05', '0.02')).toBe('-0.03')
  })

  it('multiplies and divides by 25.4 exactly', () => {
    expect(multiplyDecimals('1.655', '25.4')).toBe('42.037')
    expect(multiplyDecimals('-1.5', '25.4')).toBe('-38.1')
    expect(divideDecimals('38.1', '25.4', 25)).toBe('1.5')
    expect(divideDecimals('-38.1', '25.4', 25)).toBe('-1.5')
    expect(divideDecimals('1', '3', 5)).toMatch(/^0\.33333/)
    expect(divideDecimals('0', '3', 5)).toBe('0')
  })

  it('turns the sign round', () => {
    expect(negateDecimal('+0.10')).toBe('-0.1')
    expect(negateDecimal('-3')).toBe('3')
    expect(negateDecimal('0')).toBe('0')
  })

  it('refuses what is no decimal number', () => {
    for (const text of ['', '.', 'x', '1,5', '1e', '0x1', 'NaN']) {
      expect(() => addDecimals(text, '1'), text).toThrow(ArgumentError)
      expect(() => multiplyDecimals('1', text), text).toThrow(ArgumentError)
    }
    expect(() => divideDecimals('1', '0.0', 5)).toThrow(ArgumentError)
  })

  it('agrees with whole numbers scaled by a power of ten', () => {
    const scaled = fc.integer({ min: -1e9, max: 1e9 })
    const written = (n: number) => {
      const digits = String(Math.abs(n)).padStart(4, '0')
      return `${n < 0 ? '-' : ''}${digits.slice(0, -3)}.${digits.slice(-3)}`
    }
    fc.assert(
      fc.property(scaled, scaled, (a, b) => {
        expect(Number(addDecimals(written(a), written(b)))).toBe((a + b) / 1000)
        expect(addDecimals(addDecimals(written(a), written(b)), negateDecimal(written(b)))).toBe(
          addDecimals(written(a), '0'),
        )
      }),
    )
  })

  it('a product divided by one factor is the other', () => {
    fc.assert(
      fc.property(fc.integer({ min: -1e6, max: 1e6 }), fc.integer({ min: 1, max: 1e6 }), (a, b) => {
        const [x, y] = [`${a}e-3`, `${b}e-4`]
        expect(Number(divideDecimals(multiplyDecimals(x, y), y, 25))).toBe(a / 1000 || 0)
      }),
    )
  })
})
