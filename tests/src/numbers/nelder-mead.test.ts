import { describe, expect, it } from 'vitest'
import { minimise } from '../../../src/numbers/nelder-mead.ts'

describe('simplex minimum', () => {
  it('is found in Rosenbrock’s valley', () => {
    // H. H. Rosenbrock, The Computer Journal 3 (1960): least value 0 at (1, 1) from (−1.2, 1).
    const found = minimise(
      ([x, y]) => (1 - (x as number)) ** 2 + 100 * ((y as number) - (x as number) ** 2) ** 2,
      [-1.2, 1],
      [0.5, 0.5],
    )
    expect(found.value).toBeLessThan(1e-18)
    expect(found.at[0]).toBeCloseTo(1, 8)
    expect(found.at[1]).toBeCloseTo(1, 8)
  })
  it('is found in four variables (Powell)', () => {
    // M. J. D. Powell, The Computer Journal 5 (1962): singular at the minimum, least value 0 at the origin.
    const { value } = minimise(
      (v) => {
        const [a, b, c, d] = v as [number, number, number, number]
        return (a + 10 * b) ** 2 + 5 * (c - d) ** 2 + (b - 2 * c) ** 4 + 10 * (a - d) ** 4
      },
      [3, -1, 0, 1],
      [0.5, 0.5, 0.5, 0.5],
    )
    expect(value).toBeLessThan(1e-15)
  })
  it('keeps out of where the function is not a number', () => {
    const { at } = minimise(([x]) => (x as number) - Math.log(x as number), [3], [1])
    expect(at[0]).toBeCloseTo(1, 6)
  })
  it('says when there is none', () => {
    expect(() => minimise(([x]) => -(x as number), [0], [1])).toThrow(
      expect.objectContaining({ name: 'ConvergenceError' }),
    )
  })
})
