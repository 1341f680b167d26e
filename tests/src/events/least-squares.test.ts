import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { leastSquares } from '../../../src/events/least-squares.ts'
import { correctDigits } from '../description/nist-strd.ts'

describe('NIST StRD Norris: a straight line, certified values', () => {
  const lines = readFileSync(new URL('../../reference/nist-strd/Norris.dat', import.meta.url), 'utf8').split(
    /\r?\n/,
  )
  const rows = lines.slice(60, 96).map((line) => line.trim().split(/\s+/).map(Number))
  const y = Float64Array.from(rows, (row) => row[0] as number)
  const x = Float64Array.from(rows, (row) => row[1] as number)
  const ones = new Float64Array(36).fill(1)
  const fit = leastSquares([ones, x], y, ones)

  it('coefficients, their standard deviations and the squares left over', () => {
    expect(y).toHaveLength(36)
    expect(correctDigits(fit.coefficients[0] as number, -0.262323073774029)).toBeGreaterThan(10)
    expect(correctDigits(fit.coefficients[1] as number, 1.00211681802045)).toBeGreaterThan(12)
    const variance = fit.squares / 34
    expect(correctDigits(Math.sqrt(variance), 0.884796396144373)).toBeGreaterThan(11)
    const deviations = [...fit.variances].map((v) => Math.sqrt(v * variance))
    expect(correctDigits(deviations[0] as number, 0.232818234301152)).toBeGreaterThan(10)
    expect(correctDigits(deviations[1] as number, 0.429796848199937e-3)).toBeGreaterThan(10)
  })

  it('a weight of 0 is a value left out, a weight of 2 a value taken twice', () => {
    const weights = ones.map((_, i) => (i === 3 ? 0 : i === 5 ? 2 : 1))
    const weighted = leastSquares([ones, x], y, weights)
    const twice = [...y.keys()].flatMap((i) => (i === 3 ? [] : i === 5 ? [i, i] : [i]))
    const repeated = leastSquares(
      [new Float64Array(36).fill(1), Float64Array.from(twice, (i) => x[i] as number)],
      Float64Array.from(twice, (i) => y[i] as number),
      ones,
    )
    expect(weighted.coefficients[1]).toBeCloseTo(repeated.coefficients[1] as number, 12)
    expect(weighted.squares).toBeCloseTo(repeated.squares, 9)
  })

  it('a column that says nothing new gets the coefficient 0', () => {
    const again = leastSquares([ones, x, x.map((value) => 2 * value - 3)], y, ones)
    expect(again.coefficients[2]).toBe(0)
    expect(again.squares).toBeCloseTo(fit.squares, 9)
  })
})
