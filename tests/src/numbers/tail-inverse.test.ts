import { describe, expect, it } from 'vitest'
import { invertTail } from '../../../src/numbers/tail-inverse.ts'

describe('inverse of a tail probability', () => {
  const exponential = (u: number) => ({ tail: Math.exp(-u), derivative: -Math.exp(-u) })

  it('finds the exponential quantile from any start', () => {
    for (const start of [-3, 0, 40, 700]) {
      expect(invertTail(1e-5, exponential, false, start, 50)).toBeCloseTo(-Math.log(1e-5), 12)
    }
  })
  it('recovers from a start where the tail underflows', () => {
    expect(invertTail(0.3, exponential, false, 1000, 100)).toBeCloseTo(-Math.log(0.3), 12)
  })
  it('says when it does not converge', () => {
    const flat = () => ({ tail: 0.4, derivative: 1e-30 })
    expect(() => invertTail(0.3, flat, true, 0, 1)).toThrow(
      expect.objectContaining({ name: 'ConvergenceError' }),
    )
  })
})
