import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { c4 } from '../../../src/constants/c4.ts'
import {
  factorA2,
  factorA3,
  factorB3,
  factorB4,
  factorD3,
  factorD4,
} from '../../../src/constants/limit-factors.ts'
import { d2, d3 } from '../../../src/constants/range-constants.ts'
import { processorMs } from '../../tools/processor-time.ts'

/** tests/reference/control-chart-constants.csv: quadrature, two rules compared. */
const table = readFileSync(new URL('../../reference/control-chart-constants.csv', import.meta.url), 'utf8')
  .trim()
  .split('\n')
  .slice(1)
  .map((line) => line.split(','))

/** One unit of the last printed digit: c4 of 25 is 0.98964037558570308…, printed with a last digit of 1. */
function printedError(text: string): number {
  return 10 ** -(text.split('.')[1]?.length ?? 0)
}

describe('control chart constants', () => {
  it.each(table)(
    'n = %s agrees with every printed digit',
    (n = '', mean = '', deviation = '', unbiasing = '') => {
      expect(Math.abs(d2(Number(n)) - Number(mean))).toBeLessThan(printedError(mean))
      expect(Math.abs(d3(Number(n)) - Number(deviation))).toBeLessThan(printedError(deviation))
      expect(Math.abs(c4(Number(n)) - Number(unbiasing))).toBeLessThan(printedError(unbiasing))
    },
  )

  it('has the closed forms for two and three values', () => {
    // E[R] = 2/√π and Var[R] = 2 − 4/π for two; E[R] = 3/√π for three.
    expect(Math.abs(d2(2) - 2 / Math.sqrt(Math.PI))).toBeLessThan(1e-14)
    expect(Math.abs(d3(2) - Math.sqrt(2 - 4 / Math.PI))).toBeLessThan(1e-13)
    expect(Math.abs(d2(3) - 3 / Math.sqrt(Math.PI))).toBeLessThan(1e-14)
  })

  it('agrees with Tippett at 100, 500 and 1000', () => {
    // L. H. C. Tippett, Biometrika 17 (1925), 364–387, mean range to five decimals; the values from memory.
    expect(d2(100)).toBeCloseTo(5.01519, 5)
    expect(d2(500)).toBeCloseTo(6.0734, 4)
    expect(d2(1000)).toBeCloseTo(6.48287, 5)
  })

  it('agrees with mpmath at large n', () => {
    // mpmath 1.3.0, 30 digits: tests/reference/distributions/make.py range_constants.
    const rows = readFileSync(
      new URL('../../reference/distributions/range-constants.csv', import.meta.url),
      'utf8',
    )
      .split('\n')
      .filter((line) => /^\d/.test(line))
      .map((line) => line.split(',').map(Number) as [number, number, number])
    expect(rows.length).toBeGreaterThan(3)
    for (const [n, mean, deviation] of rows) {
      expect(Math.abs(d2(n) / mean - 1), `d2(${n})`).toBeLessThan(1e-13)
      expect(Math.abs(d3(n) / deviation - 1), `d3(${n})`).toBeLessThan(1e-12)
    }
  })

  it('unbiases a standard deviation with any degrees of freedom', () => {
    // Γ in closed form: c4(2) = √(2/π); c4(1.5) and c4(21.5) with mpmath 1.3.0.
    expect(Math.abs(c4(2) - Math.sqrt(2 / Math.PI))).toBeLessThan(1e-15)
    expect(Math.abs(c4(1.5) - 0.67597824006728)).toBeLessThan(1e-14)
    expect(Math.abs(c4(21.5) - 0.98788370148756)).toBeLessThan(1e-14)
    // c4(ν + 1) = 1 − 1/(4ν) + 1/(32ν²) + …
    for (const nu of [1e5, 1e6, 1e7]) {
      expect(Math.abs(c4(nu + 1) - (1 - 1 / (4 * nu) + 1 / (32 * nu * nu)))).toBeLessThan(1e-15)
    }
  })

  it('is fast when fresh', async () => {
    // One millisecond each once the code is warm; sizes not asked for before, since what was computed is kept.
    const ms = await processorMs((turn) => {
      for (let n = 600 + 20 * turn; n < 620 + 20 * turn; n++) d2(n)
    })
    expect(ms / 20).toBeLessThan(5)
  })

  it('refuses other sizes by name', () => {
    for (const n of [1, 2.5, 1001, Number.NaN]) {
      expect(() => d2(n)).toThrow(expect.objectContaining({ name: 'ArgumentError', argument: 'n' }))
      expect(() => d3(n)).toThrow(expect.objectContaining({ argument: 'n' }))
    }
    for (const n of [1, 0, Number.NaN, Number.POSITIVE_INFINITY]) {
      expect(() => c4(n)).toThrow(expect.objectContaining({ argument: 'n' }))
    }
  })
})

describe('factors of limits', () => {
  it('agree with the published tables', () => {
    // ASTM E2587 and ISO 7870-2, from memory; D4 at n = 5 is 2.114, which some tables print as 2.115.
    const rows: [number, number, number, number | null, number, number | null, number][] = [
      [2, 1.88, 2.659, null, 3.267, null, 3.267],
      [5, 0.577, 1.427, null, 2.089, null, 2.114],
      [6, 0.483, 1.287, 0.03, 1.97, null, 2.004],
      [7, 0.419, 1.182, 0.118, 1.882, 0.076, 1.924],
      [10, 0.308, 0.975, 0.284, 1.716, 0.223, 1.777],
      [25, 0.153, 0.606, 0.565, 1.435, 0.459, 1.541],
    ]
    for (const [n, a2, a3, b3, b4, d3Factor, d4] of rows) {
      expect(factorA2(n)).toBeCloseTo(a2, 3)
      expect(factorA3(n)).toBeCloseTo(a3, 3)
      expect(factorB4(n)).toBeCloseTo(b4, 3)
      expect(factorD4(n)).toBeCloseTo(d4, 3)
      if (b3 === null) expect(factorB3(n)).toBeNull()
      else expect(factorB3(n)).toBeCloseTo(b3, 3)
      if (d3Factor === null) expect(factorD3(n)).toBeNull()
      else expect(factorD3(n)).toBeCloseTo(d3Factor, 3)
    }
  })

  it('have no lower limit below n = 6 for s and below n = 7 for the range', () => {
    expect([2, 3, 4, 5].map(factorB3)).toEqual([null, null, null, null])
    expect([2, 3, 4, 5, 6].map(factorD3)).toEqual([null, null, null, null, null])
    expect(factorB3(6)).toBeGreaterThan(0)
    expect(factorD3(7)).toBeGreaterThan(0)
  })
})
