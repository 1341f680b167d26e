import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { ALL_TESTS, OPTIONAL_TESTS, type TestId, WESTERN_ELECTRIC } from '../../../src/charts/tests.ts'
import { ArgumentError } from '../../../src/errors.ts'
import { runLengthOfAny } from '../../../src/run-length/any-run-length.ts'
import { regionProbabilities } from '../../../src/run-length/region-probabilities.ts'
import { type StepPattern, stepMemory } from '../../../src/run-length/step-memory.ts'
import { stepRunLength } from '../../../src/run-length/step-run-length.ts'
import { testChain } from '../../../src/run-length/test-chain.ts'
import { runLengthOfTests } from '../../../src/run-length/tests-run-length.ts'
import { processorMs } from '../../tools/processor-time.ts'
import { runLengthByCounting, survivalByCounting } from './permutations.ts'
import { normalSource, simulatedRunLength } from './simulation.ts'

const choose = (...ids: TestId[]) => ALL_TESTS.filter((test) => ids.includes(test.id))
const STEADILY = choose('six-steadily')
const ALTERNATING = choose('fourteen-alternating')

describe('the count of permutations that the run lengths are checked by', () => {
  it('has the share of orders that are monotone: 2 of n!', () => {
    const { survivals } = survivalByCounting({ pattern: 'steady', length: 6 }, 6)
    expect(survivals).toHaveLength(7)
    expect(survivals[5]).toBe(1)
    expect(Math.abs((1 - (survivals[6] as number)) / (2 / 720) - 1)).toBeLessThan(1e-12)
  })

  it('has the share of orders that alternate: 2 Eₙ of n!, with Euler’s zigzag number E₁₄ = 199360981', () => {
    // Zigzag numbers: OEIS A000111.
    const { survivals } = survivalByCounting({ pattern: 'alternating', length: 14 }, 14)
    const orders = 87_178_291_200
    expect(Math.abs((1 - (survivals[14] as number)) / ((2 * 199_360_981) / orders) - 1)).toBeLessThan(1e-12)
  })
})

describe('steps alone, which no distribution and no shift changes', () => {
  const patterns: StepPattern[] = [
    { pattern: 'steady', length: 3 },
    { pattern: 'steady', length: 6 },
    { pattern: 'steady', length: 7 },
    { pattern: 'steady', length: 12 },
    { pattern: 'alternating', length: 3 },
    { pattern: 'alternating', length: 14 },
    { pattern: 'alternating', length: 20 },
  ]

  it.each(patterns)('$length points $pattern: as counted', (test) => {
    const counted = runLengthByCounting(test)
    for (const shift of [0, 1.7, -30]) {
      expect(Math.abs(runLengthOfAny([test], shift) / counted - 1)).toBeLessThan(1e-10)
    }
  })

  it('of two and three points have closed forms', () => {
    // Every order of two points is a signal of two.
    expect(runLengthOfAny([{ pattern: 'steady', length: 2 }], 0)).toBeCloseTo(2, 12)
    expect(runLengthOfAny([{ pattern: 'alternating', length: 2 }], 0)).toBeCloseTo(2, 12)
    // Orders without three steady points alternate, 2 Eₙ of n!; those without three alternating ones are steady, 2 of
    // n!. Run lengths are the sums of these shares over n ≥ 2, and 2 for n < 2. Σ Eₙ/n! = sec 1 + tan 1.
    const zigzag = 1 / Math.cos(1) + Math.tan(1)
    expect(Math.abs(runLengthOfAny([{ pattern: 'steady', length: 3 }], 0) - (2 * zigzag - 2))).toBeLessThan(
      1e-10,
    )
    expect(
      Math.abs(runLengthOfAny([{ pattern: 'alternating', length: 3 }], 0) - (2 * Math.E - 2)),
    ).toBeLessThan(1e-10)
  })
})

describe('simulation with fixed seeds', () => {
  it.each([
    ['the four and six steadily', [...WESTERN_ELECTRIC, ...STEADILY], 0, 41],
    [
      'the four, six steadily and fourteen alternating',
      [...WESTERN_ELECTRIC, ...STEADILY, ...ALTERNATING],
      0.4,
      42,
    ],
    ['all nine', ALL_TESTS, 0.8, 43],
    [
      'one beyond and short patterns',
      [...choose('beyond-three-sigma'), { pattern: 'steady', length: 4 }],
      -1,
      44,
    ],
    [
      'near and short patterns',
      [
        { pattern: 'near', length: 6, line: 1 },
        { pattern: 'alternating', length: 6 },
      ],
      0.5,
      45,
    ],
    [
      'two of three and both',
      [...choose('two-of-three'), { pattern: 'steady', length: 4 }, { pattern: 'alternating', length: 7 }],
      1,
      46,
    ],
  ] as const)('%s', (_, tests, shift, seed) => {
    const normal = normalSource(seed)
    const runs = 15_000
    let sum = 0
    let squares = 0
    for (let run = 0; run < runs; run++) {
      const length = simulatedRunLength(tests, shift, normal)
      sum += length
      squares += length * length
    }
    const mean = sum / runs
    const error = Math.sqrt((squares / runs - mean * mean) / runs)
    expect(Math.abs(runLengthOfAny(tests, shift) - mean)).toBeLessThanOrEqual(4 * error)
  })
})

describe('sets without steps', () => {
  it('are the chain’s own', () => {
    expect(runLengthOfAny(WESTERN_ELECTRIC, 0)).toBe(runLengthOfTests(WESTERN_ELECTRIC, 0))
    expect(runLengthOfAny([], 0)).toBe(Number.POSITIVE_INFINITY)
  })

  it('agree with the density that is followed, where a pattern is added that all but never comes', () => {
    // Twenty points in a row steadily: about one order in 20!/2 ≈ 1e18.
    const rare: StepPattern = { pattern: 'steady', length: 20 }
    const nearAndAway = choose('fifteen-near-the-centre', 'eight-away-from-the-centre')
    for (const [tests, shift] of [
      [WESTERN_ELECTRIC, 0],
      [WESTERN_ELECTRIC, 2.5],
      [[...choose('beyond-three-sigma', 'two-of-three'), ...nearAndAway], 0.6],
    ] as const) {
      const known = runLengthOfAny(tests, shift)
      expect(Math.abs(runLengthOfAny([...tests, rare], shift) / known - 1)).toBeLessThan(1e-10)
    }
  })
})

describe('edges', () => {
  it('refuses patterns and shifts that mean nothing', () => {
    expect(() => runLengthOfAny([{ pattern: 'steady', length: 1 }], 0)).toThrow(ArgumentError)
    expect(() => runLengthOfAny([{ pattern: 'alternating', length: 2.5 }], 0)).toThrow(ArgumentError)
    expect(() => runLengthOfAny([{ pattern: 'alternating', length: 21 }], 0)).toThrow(/2 to 20/)
    expect(() => runLengthOfAny(STEADILY, Number.NaN)).toThrow(ArgumentError)
  })

  it('signals at once where every point is far out', () => {
    expect(runLengthOfAny([...WESTERN_ELECTRIC, ...STEADILY], 60)).toBe(1)
  })

  it('computes the default four within 100 ms and all nine within a second', async () => {
    // Shifts not asked for before, since what was computed is kept.
    const taken = (tests: typeof ALL_TESTS) => processorMs((turn) => runLengthOfAny(tests, 0.001 * turn))
    expect(await taken(WESTERN_ELECTRIC)).toBeLessThan(100)
    expect(await taken(ALL_TESTS)).toBeLessThan(1000)
  })
})

describe('properties', () => {
  const subset = fc.subarray([...WESTERN_ELECTRIC, ...OPTIONAL_TESTS], { minLength: 1, maxLength: 4 })

  it('is the same for a shift up and down, and does not grow when six steadily are added', () => {
    fc.assert(
      fc.property(subset, fc.double({ min: 0.1, max: 3, noNaN: true }), (tests, shift) => {
        const alone = runLengthOfAny(tests, shift)
        expect(Math.abs(runLengthOfAny(tests, -shift) / alone - 1)).toBeLessThan(1e-9)
        expect(runLengthOfAny([...tests, ...STEADILY], shift)).toBeLessThanOrEqual(alone * (1 + 1e-9))
      }),
      { numRuns: 12 },
    )
  })
})

describe('nodes', () => {
  it('are enough: more of them change nothing in eleven digits', () => {
    for (const shift of [0, 0.7, 2.6]) {
      const chain = testChain(WESTERN_ELECTRIC)
      const probabilities = regionProbabilities(chain, shift)
      const memory = stepMemory([
        { pattern: 'steady', length: 6 },
        { pattern: 'alternating', length: 14 },
      ])
      const finer = stepRunLength(chain, probabilities, memory, 12)
      const tests = [...WESTERN_ELECTRIC, ...STEADILY, ...ALTERNATING]
      expect(Math.abs(runLengthOfAny(tests, shift) / finer - 1)).toBeLessThan(1e-11)
    }
  })
})
