import { describe, expect, it } from 'vitest'
import { ArgumentError } from '../../../src/errors.ts'
import { cusumInterval, cusumRunLength } from '../../../src/run-length/cusum-run-length.ts'
import { normalSource } from './simulation.ts'

describe('published run lengths', () => {
  // Allowance 0.5: D. C. Montgomery, Introduction to Statistical Quality Control, and D. M. Hawkins and D. H. Olwell,
  // Cumulative Sum Charts and Charting for Quality Improvement (1998); printed figures from memory.
  it.each([
    [4, 0, 167.7, 0.05],
    [4, 0.25, 74.2, 0.05],
    [4, 0.5, 26.6, 0.05],
    [4, 1, 8.38, 0.005],
    [4, 2, 3.34, 0.005],
    [5, 0, 465.4, 0.05],
    [5, 0.25, 139, 0.5],
    [5, 0.5, 38, 0.05],
    [5, 1, 10.4, 0.05],
    [5, 2, 4.01, 0.005],
  ])('interval %d, shift %d', (interval, shift, published, half) => {
    expect(Math.abs(cusumRunLength(0.5, interval, shift) - published)).toBeLessThanOrEqual(half)
  })

  it('interval 4.77 at allowance 0.5 for a run length of 370 (Hawkins and Olwell, from memory)', () => {
    expect(Math.abs(cusumInterval(0.5, 370) - 4.774)).toBeLessThanOrEqual(0.0005)
    expect(Math.abs(cusumInterval(0.25, 370) - 8.01)).toBeLessThanOrEqual(0.005)
  })

  it('the interval found gives the run length asked for', () => {
    expect(Math.abs(cusumRunLength(0.3, cusumInterval(0.3, 1000), 0) / 1000 - 1)).toBeLessThanOrEqual(1e-8)
  })
})

describe('simulation with fixed seeds', () => {
  it.each([
    [0.5, 4, 0.75, 31],
    [0.25, 6, -0.5, 32],
    [0, 5, 0, 33],
  ])('allowance %d, interval %d, shift %d', (allowance, interval, shift, seed) => {
    const normal = normalSource(seed)
    const runs = 20_000
    let sum = 0
    let squares = 0
    for (let run = 0; run < runs; run++) {
      let up = 0
      let down = 0
      let length = 0
      do {
        const x = normal() + shift
        up = Math.max(0, up + x - allowance)
        down = Math.max(0, down - x - allowance)
        length++
      } while (up <= interval && down <= interval)
      sum += length
      squares += length * length
    }
    const mean = sum / runs
    const error = Math.sqrt((squares / runs - mean * mean) / runs)
    expect(Math.abs(cusumRunLength(allowance, interval, shift) - mean)).toBeLessThanOrEqual(4 * error)
  })
})

describe('edges', () => {
  it('is symmetric in the shift and near 1 when the mean is far off', () => {
    expect(cusumRunLength(0.5, 4, -1)).toBe(cusumRunLength(0.5, 4, 1))
    expect(cusumRunLength(0.5, 4, 20)).toBeCloseTo(1, 12)
  })

  it('refuses arguments out of range and run lengths that no interval gives', () => {
    expect(() => cusumRunLength(-0.1, 4, 0)).toThrow(ArgumentError)
    expect(() => cusumRunLength(0.5, 0, 0)).toThrow(ArgumentError)
    expect(() => cusumRunLength(0.5, 4, Number.POSITIVE_INFINITY)).toThrow(ArgumentError)
    expect(() => cusumInterval(0.5, 1.1)).toThrow(/shorter/)
  })
})
