import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { ArgumentError } from '../../../src/errors.ts'
import type { RunPattern, RunTest } from '../../../src/run-length/run-test.ts'
import {
  runLengthDistribution,
  runLengthOfTests,
  runLengthQuantile,
} from '../../../src/run-length/tests-run-length.ts'
import { processorMs } from '../../tools/processor-time.ts'
import { normalSource, simulatedRunLength } from './simulation.ts'

const BEYOND_THREE: RunTest = { needed: 1, of: 1, beyond: 3 }
const TWO_OF_THREE: RunTest = { needed: 2, of: 3, beyond: 2 }
const FOUR_OF_FIVE: RunTest = { needed: 4, of: 5, beyond: 1 }
const EIGHT: RunTest = { needed: 8, of: 8, beyond: 0 }
const NEAR: RunPattern = { pattern: 'near', length: 15, line: 1 }
const AWAY: RunPattern = { pattern: 'away', length: 8, line: 1 }
const ALL = [BEYOND_THREE, TWO_OF_THREE, FOUR_OF_FIVE, EIGHT]

describe('Champ and Woodall, Technometrics 29 (1987), 393–399 (table values from memory)', () => {
  it.each([
    [[BEYOND_THREE], 370.4],
    [[BEYOND_THREE, TWO_OF_THREE], 225.44],
    [[BEYOND_THREE, FOUR_OF_FIVE], 166.05],
    [[BEYOND_THREE, EIGHT], 152.73],
    [[BEYOND_THREE, TWO_OF_THREE, FOUR_OF_FIVE], 132.89],
    [[BEYOND_THREE, TWO_OF_THREE, EIGHT], 122.05],
    [[BEYOND_THREE, FOUR_OF_FIVE, EIGHT], 105.78],
    [ALL, 91.75],
  ])('in control, %j', (tests, published) => {
    expect(Math.abs(runLengthOfTests(tests, 0) - published)).toBeLessThanOrEqual(0.005)
  })

  it.each([
    [0.2, 66.8],
    [0.4, 36.61],
    [0.6, 20.9],
    [0.8, 13.25],
    [1, 9.22],
    [1.2, 6.89],
    [1.4, 5.42],
    [1.6, 4.41],
    [1.8, 3.68],
    [2, 3.13],
    [2.2, 2.7],
    [2.4, 2.35],
    [2.6, 2.07],
    [2.8, 1.85],
    [3, 1.67],
  ])('all four tests at a shift of %f', (shift, published) => {
    expect(Math.abs(runLengthOfTests(ALL, shift) - published)).toBeLessThanOrEqual(0.0051)
  })
})

describe('closed forms', () => {
  it('one point beyond a line: geometric', () => {
    // SciPy 1.17.1: 2 * norm.sf(3) = 0.0026997960632601866.
    const p = 0.0026997960632601866
    const { mean, sd } = runLengthDistribution([BEYOND_THREE], 0)
    expect(Math.abs(mean * p - 1)).toBeLessThanOrEqual(1e-12)
    expect(Math.abs((sd * p) / Math.sqrt(1 - p) - 1)).toBeLessThanOrEqual(1e-12)
    expect(runLengthQuantile([BEYOND_THREE], 0, 0.5)).toBe(Math.ceil(Math.log(0.5) / Math.log1p(-p)))
    expect(runLengthQuantile([BEYOND_THREE], 0, 0.999)).toBe(Math.ceil(Math.log(0.001) / Math.log1p(-p)))
  })

  // W. Feller, An Introduction to Probability Theory, volume I, XIII.7: a run of m successes takes (1 − pᵐ)/(q pᵐ)
  // trials, with variance 1/(q pᵐ)² − (2m + 1)/(q pᵐ) − p/q². A run of r of either side of a fair coin is one toss
  // and then m = r − 1 tosses like the one before.
  it.each([2, 5, 8, 9])('a run of %i on one side', (r) => {
    const { mean, sd } = runLengthDistribution([{ needed: r, of: r, beyond: 0 }], 0)
    const p = 0.5
    const m = r - 1
    const variance = 1 / (p ** m * p) ** 2 - (2 * m + 1) / (p ** m * p) - p / p ** 2
    expect(Math.abs(mean / (2 ** r - 1) - 1)).toBeLessThanOrEqual(1e-13)
    expect(Math.abs(sd / Math.sqrt(variance) - 1)).toBeLessThanOrEqual(1e-12)
  })

  // Feller, as above: r successes in a row take (1 − pʳ)/(q pʳ) trials. SciPy 1.17.1: 2 * norm.sf(1) is
  // 0.31731050786291415.
  it.each([
    [AWAY, 0.31731050786291415, 8],
    [NEAR, 1 - 0.31731050786291415, 15],
  ])('%j', (test, p, r) => {
    const expected = (1 - p ** r) / ((1 - p) * p ** r)
    expect(Math.abs(runLengthOfTests([test], 0) / expected - 1)).toBeLessThanOrEqual(1e-12)
  })

  it('keeps its digits where a signal is next to impossible', () => {
    // SciPy 1.17.1: 1 / (2 * norm.sf(20)).
    expect(
      Math.abs(runLengthOfTests([{ needed: 1, of: 1, beyond: 20 }], 0) / 1.8157888606e88 - 1),
    ).toBeLessThan(1e-9)
  })
})

describe('simulation with fixed seeds', () => {
  it.each([
    ['all four', ALL, 0.5, 11],
    ['all four', ALL, 1.5, 12],
    ['two of three and five of seven', [TWO_OF_THREE, { needed: 5, of: 7, beyond: 0.5 }], 0.7, 13],
    ['three of four', [{ needed: 3, of: 4, beyond: 1.2 }], -0.4, 14],
    ['all four, near and away', [...ALL, NEAR, AWAY], 0.3, 15],
  ] as const)('%s at a shift of %d', (_, tests, shift, seed) => {
    const normal = normalSource(seed)
    const runs = 20_000
    const { mean, sd } = runLengthDistribution(tests, shift)
    let sum = 0
    let squares = 0
    let early = 0
    const median = runLengthQuantile(tests, shift, 0.5)
    for (let run = 0; run < runs; run++) {
      const length = simulatedRunLength(tests, shift, normal)
      sum += length - mean
      squares += (length - mean) ** 2
      if (length < median) early++
    }
    expect(Math.abs(sum / runs)).toBeLessThanOrEqual(4 * (sd / Math.sqrt(runs)))
    expect(Math.abs(Math.sqrt(squares / runs) / sd - 1)).toBeLessThanOrEqual(0.04)
    expect(early / runs).toBeLessThanOrEqual(0.5 + 4 * Math.sqrt(0.25 / runs))
  })
})

describe('edges', () => {
  it('never signals without tests', () => {
    expect(runLengthOfTests([], 0)).toBe(Number.POSITIVE_INFINITY)
    expect(runLengthQuantile([], 0, 0.5)).toBe(Number.POSITIVE_INFINITY)
  })

  it('signals as soon as a window allows when every point is far out', () => {
    expect(runLengthOfTests([BEYOND_THREE], 50)).toBe(1)
    expect(runLengthOfTests([EIGHT], -50)).toBe(8)
    expect(runLengthQuantile([EIGHT], 50, 0.9)).toBe(8)
    expect(runLengthDistribution([TWO_OF_THREE], 50)).toEqual({ mean: 2, sd: 0 })
  })

  it('refuses tests and shifts that mean nothing', () => {
    expect(() => runLengthOfTests([{ needed: 4, of: 3, beyond: 1 }], 0)).toThrow(ArgumentError)
    expect(() => runLengthOfTests([{ needed: 0, of: 3, beyond: 1 }], 0)).toThrow(ArgumentError)
    expect(() => runLengthOfTests([{ needed: 1, of: 31, beyond: 1 }], 0)).toThrow(ArgumentError)
    expect(() => runLengthOfTests([{ needed: 1, of: 1, beyond: -1 }], 0)).toThrow(ArgumentError)
    expect(() => runLengthOfTests([{ pattern: 'near', length: 0, line: 1 }], 0)).toThrow(ArgumentError)
    expect(() => runLengthOfTests(ALL, Number.NaN)).toThrow(ArgumentError)
    expect(() => runLengthQuantile(ALL, 0, 1)).toThrow(ArgumentError)
    expect(() => runLengthOfTests([{ needed: 12, of: 24, beyond: 1 }], 0)).toThrow(/states/)
  })

  it('computes the four tests in control within 50 ms', async () => {
    // Lines not asked for before, since what was computed is kept.
    const taken = await processorMs((turn) =>
      runLengthOfTests(
        ALL.map((test) => ({ ...test, beyond: (1 + 1e-6 * turn) * test.beyond })),
        0,
      ),
    )
    expect(taken).toBeLessThan(50)
  })
})

describe('properties', () => {
  const test = fc
    .record({
      of: fc.integer({ min: 1, max: 5 }),
      slack: fc.integer({ min: 0, max: 2 }),
      beyond: fc.constantFrom(0, 0.5, 1, 2, 3),
    })
    .map(({ of, slack, beyond }) => ({ needed: Math.max(1, of - slack), of, beyond }))
  const tests = fc.array(test, { minLength: 1, maxLength: 3 })

  it('is the same for a shift up and down', () => {
    fc.assert(
      fc.property(tests, fc.double({ min: 0, max: 4, noNaN: true }), (set, shift) => {
        const up = runLengthOfTests(set, shift)
        expect(Math.abs(runLengthOfTests(set, -shift) / up - 1)).toBeLessThanOrEqual(1e-10)
      }),
      { numRuns: 60 },
    )
  })

  it('does not grow when a test is added', () => {
    fc.assert(
      fc.property(tests, test, fc.double({ min: 0, max: 3, noNaN: true }), (set, added, shift) => {
        const alone = runLengthOfTests(set, shift)
        expect(runLengthOfTests([...set, added], shift)).toBeLessThanOrEqual(alone * (1 + 1e-11))
      }),
      { numRuns: 60 },
    )
  })
})
