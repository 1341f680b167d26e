import { describe, expect, it } from 'vitest'
import { ArgumentError } from '../../../src/errors.ts'
import { testsMultiplier } from '../../../src/run-length/tests-multiplier.ts'
import { runLengthOfTests } from '../../../src/run-length/tests-run-length.ts'

const ALL = [
  { needed: 1, of: 1, beyond: 3 },
  { needed: 2, of: 3, beyond: 2 },
  { needed: 4, of: 5, beyond: 1 },
  { needed: 8, of: 8, beyond: 0 },
]

describe('testsMultiplier', () => {
  it('for single points it is the normal quantile', () => {
    // SciPy 1.17.1: norm.isf(0.5 / 500) = 3.090232306167813.
    expect(3 * testsMultiplier(ALL.slice(0, 1), 500)).toBeCloseTo(3.090232306167813, 10)
  })

  it('gives the run length asked for', () => {
    for (const [tests, wanted] of [
      [ALL, 100],
      [ALL.slice(0, 3), 370],
      [ALL.slice(1, 3), 50],
    ] as const) {
      const factor = testsMultiplier(tests, wanted)
      const moved = tests.map((test) => ({ ...test, beyond: factor * test.beyond }))
      expect(Math.abs(runLengthOfTests(moved, 0) / wanted - 1)).toBeLessThanOrEqual(1e-9)
    }
  })

  it('refuses a run length that tests on one side alone do not allow', () => {
    // Eight on one side signals every 255 points, however far out the lines lie.
    expect(() => testsMultiplier(ALL, 256)).toThrow(ArgumentError)
    expect(testsMultiplier(ALL, 250)).toBeGreaterThan(1)
  })

  it('refuses a run length of one or less', () => {
    expect(() => testsMultiplier(ALL, 1)).toThrow(ArgumentError)
  })
})
