import { describe, expect, it } from 'vitest'
import { nearerIndexInterval, spreadIndexInterval } from '../../../src/capability/confidence.ts'
import { nearerIndex } from '../../../src/capability/indices.ts'
import { normalSource } from '../run-length/simulation.ts'

describe('against R 4.2.2: uniroot over pt(3√n·index, df, ncp), 2.5 % in either tail', () => {
  it.each([
    [1.2, 50, 49, 0.944773433993, 1.453205224627],
    [0.9, 20, 17.5, 0.567701110016, 1.227039497168],
    [-0.1, 10, 9, -0.308947452522, 0.114158946642],
  ])('index %f from %f values with %f degrees of freedom', (value, n, df, lower, upper) => {
    const interval = nearerIndexInterval(value, n, df, 0.95)
    expect(interval.lower).toBeCloseTo(lower, 9)
    expect(interval.upper).toBeCloseTo(upper, 9)
  })

  it('Cp 1.5 with 24 degrees of freedom: 1.5·sqrt(qchisq(c(.025, .975), 24) / 24)', () => {
    const interval = spreadIndexInterval(1.5, 24, 0.95)
    expect(interval.lower).toBeCloseTo(1.07824293779, 9)
    expect(interval.upper).toBeCloseTo(1.92103675687, 9)
  })
})

describe('limits that are very far', () => {
  it.each([1, -1])('have the interval of sigma, without a step where it takes over (side %i)', (side) => {
    const [n, df] = [81, 90]
    const at = (t: number) => {
      const value = (side * t) / (3 * Math.sqrt(n))
      const { lower, upper } = nearerIndexInterval(value, n, df, 0.95)
      return [lower / value, upper / value]
    }
    const [before, after] = [at(0.999e7), at(1.001e7)]
    for (const i of [0, 1]) expect(after[i]).toBeCloseTo(before[i] as number, 11)
  })

  it('are answered at once', () => {
    const { value, lower, upper } = nearerIndexInterval(1e12, 81, 90, 0.95)
    expect(value).toBe(1e12)
    expect(lower).toBeLessThan(value)
    expect(upper).toBeGreaterThan(value)
  })
})

describe('coverage of the true Cpk, 1,000 simulated samples each', () => {
  // tests/reference/capability/coverage.csv has 336 cases of 100,000 samples, made by tests/bench/coverage.ts.
  const cases = [10, 100].flatMap((n) =>
    [0.7, 2.5].flatMap((index) => [0, 3].map((offset) => [n, index, offset] as const)),
  )

  it.each(cases)('n = %i, Cpk = %f, %f sigmas off the middle', (n, index, offset) => {
    const normal = normalSource(n * 1000 + Math.round(index * 100) + offset * 7)
    const limits = { lower: -3 * index, upper: 3 * index + 2 * offset }
    let covered = 0
    for (let i = 0; i < 1000; i++) {
      const values = Array.from({ length: n }, normal)
      const mean = values.reduce((sum, x) => sum + x, 0) / n
      const sigma = Math.sqrt(values.reduce((sum, x) => sum + (x - mean) ** 2, 0) / (n - 1))
      const { lower, upper } = nearerIndexInterval(nearerIndex(limits, mean, sigma) as number, n, n - 1, 0.95)
      if (lower <= index && index <= upper) covered++
    }
    // Standard error 0.7 %: three of them around the range wanted of the true coverage, 94 to 97 %.
    expect(covered / 1000).toBeGreaterThan(0.919)
    expect(covered / 1000).toBeLessThan(0.991)
  })
})
