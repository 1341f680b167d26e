import { describe, expect, it } from 'vitest'
import { digitsAgreed, digitsPublished } from '../../../src/evidence/agreement.ts'

describe('digits that a printed figure claims', () => {
  it.each([
    ['0.9400', 4],
    ['370.40', 5],
    ['-0.307304800605679', 15],
    ['0.000429123454003053', 15],
    ['2.10000000000000E+01', 15],
    ['168', 3],
    ['0', 1],
  ])('%s: %i', (text, digits) => expect(digitsPublished(text, false)).toBe(digits))

  it('an exact one claims all of a double', () => expect(digitsPublished('0.1', true)).toBe(15))
})

describe('digits that agree', () => {
  it('are all where the figure rounds to what is printed, a half either way', () => {
    expect(digitsAgreed(0.93998560298663, '0.9400', false)).toBe(4)
    expect(digitsAgreed(2.5, '2', false)).toBe(1)
    expect(digitsAgreed(1.5, '2', false)).toBe(1)
    expect(digitsAgreed(21.00000000000004, '2.10000000000000E+01', false)).toBe(15)
    expect(digitsAgreed(0, '0', false)).toBe(1)
  })

  it('are counted from the relative difference otherwise', () => {
    expect(digitsAgreed(1.001, '1.0000', false)).toBeCloseTo(3, 10)
    expect(digitsAgreed(20.9051, '20.90', false)).toBeCloseTo(-Math.log10(0.0051 / 20.9), 10)
    expect(digitsAgreed(2, '1', false)).toBe(0)
    expect(digitsAgreed(-1, '1', false)).toBe(0)
  })

  it('of an exact figure are not rounded', () => {
    expect(digitsAgreed(0.1 + 1e-12, '0.1', true)).toBeCloseTo(11, 3)
    expect(digitsAgreed(0.1, '0.1', true)).toBe(15)
  })

  it('are none where nothing was computed, or 0 was published and is not', () => {
    expect(digitsAgreed(Number.NaN, '1', false)).toBe(0)
    expect(digitsAgreed(Number.POSITIVE_INFINITY, '1', false)).toBe(0)
    expect(digitsAgreed(0.6, '0', false)).toBe(0)
  })
})
