import { describe, expect, it } from 'vitest'
import { gaussLegendre, integrate } from '../../../src/numbers/gauss-legendre.ts'

describe('Gauss–Legendre rules', () => {
  it('has the tabled nodes of five points', () => {
    // Abramowitz and Stegun, table 25.4.
    const { nodes, weights } = gaussLegendre(5)
    expect(nodes[4]).toBeCloseTo(0.906179845938664, 15)
    expect(nodes[3]).toBeCloseTo(0.538469310105683, 15)
    expect(Math.abs(nodes[2] as number)).toBeLessThan(1e-16)
    expect(weights[4]).toBeCloseTo(0.236926885056189, 15)
    expect(weights[2]).toBeCloseTo(0.568888888888889, 15)
  })
  it.each([1, 2, 10, 20, 28, 64, 101])('with %d points is exact up to degree 2n − 1', (n) => {
    const rule = gaussLegendre(n)
    for (let degree = 0; degree < 2 * n; degree += 3) {
      const expected = degree % 2 === 0 ? 2 / (degree + 1) : 0
      expect(Math.abs(integrate((x) => x ** degree, -1, 1, rule) - expected)).toBeLessThan(2e-14)
    }
  })
  it('integrates over any interval', () => {
    expect(integrate(Math.exp, -1, 2, gaussLegendre(20))).toBeCloseTo(Math.exp(2) - Math.exp(-1), 13)
  })
})
