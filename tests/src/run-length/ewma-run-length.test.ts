import { describe, expect, it } from 'vitest'
import { ArgumentError } from '../../../src/errors.ts'
import { ewmaMultiplier, ewmaRunLength } from '../../../src/run-length/ewma-run-length.ts'
import { runLengthOfTests } from '../../../src/run-length/tests-run-length.ts'
import { normalSource } from './simulation.ts'

// J. M. Lucas and M. S. Saccucci, Technometrics 32 (1990), 1–12: pairs with an in-control run length of 500.
const PAIRS = [
  [0.4, 3.054],
  [0.25, 2.998],
  [0.2, 2.962],
  [0.1, 2.814],
  [0.05, 2.615],
] as const

describe('published multipliers', () => {
  it.each(PAIRS)('lambda %d: multiplier %d', (lambda, multiplier) => {
    expect(Math.abs(ewmaMultiplier(lambda, 500) - multiplier)).toBeLessThanOrEqual(0.0005)
    expect(Math.abs(ewmaRunLength(lambda, multiplier, 0) - 500)).toBeLessThanOrEqual(1)
  })

  it('the multiplier found gives the run length asked for', () => {
    expect(Math.abs(ewmaRunLength(0.2, ewmaMultiplier(0.2, 370), 0) - 370)).toBeLessThanOrEqual(1e-6)
  })
})

describe('simulation with fixed seeds', () => {
  it.each([
    [0.2, 2.962, 1, 21],
    [0.05, 2.615, -0.5, 22],
    [0.4, 3.054, 2, 23],
  ])('lambda %d, multiplier %d, shift %d', (lambda, multiplier, shift, seed) => {
    const normal = normalSource(seed)
    const limit = multiplier * Math.sqrt(lambda / (2 - lambda))
    const runs = 20_000
    let sum = 0
    let squares = 0
    for (let run = 0; run < runs; run++) {
      let z = 0
      let length = 0
      do {
        z = lambda * (normal() + shift) + (1 - lambda) * z
        length++
      } while (Math.abs(z) <= limit)
      sum += length
      squares += length * length
    }
    const mean = sum / runs
    const error = Math.sqrt((squares / runs - mean * mean) / runs)
    expect(Math.abs(ewmaRunLength(lambda, multiplier, shift) - mean)).toBeLessThanOrEqual(4 * error)
  })
})

describe('edges', () => {
  it('with lambda 1 it is the chart of single points', () => {
    const single = runLengthOfTests([{ needed: 1, of: 1, beyond: 3 }], 0.7)
    expect(Math.abs(ewmaRunLength(1, 3, 0.7) / single - 1)).toBeLessThanOrEqual(1e-12)
    expect(Math.abs(ewmaRunLength(0.99999, 3, 0.7) / single - 1)).toBeLessThanOrEqual(1e-4)
  })

  it('signals at once when the mean is far off', () => {
    expect(ewmaRunLength(0.2, 3, 30)).toBeCloseTo(1, 12)
  })

  it('refuses arguments out of range', () => {
    expect(() => ewmaRunLength(0, 3, 0)).toThrow(ArgumentError)
    expect(() => ewmaRunLength(0.2, 0, 0)).toThrow(ArgumentError)
    expect(() => ewmaRunLength(0.2, 3, Number.NaN)).toThrow(ArgumentError)
    expect(() => ewmaMultiplier(0.2, 1)).toThrow(ArgumentError)
  })
})
