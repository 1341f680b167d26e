import { describe, expect, it } from 'vitest'
import type { ChartModel, Signal } from '../../../src/charts/model.ts'
import type { Characteristic } from '../../../src/domain/characteristic.ts'
import { DEFAULT_ADJUSTMENT } from '../../../src/shrinkage/adjustment.ts'
import type { Advice, AxisAdvice } from '../../../src/shrinkage/advice.ts'
import { obstacles } from '../../../src/shrinkage/obstacles.ts'
import type { Outcome } from '../../../src/shrinkage/outcome.ts'
import { outcomeWords } from '../../../src/shrinkage/outcome-words.ts'
import { replayWords } from '../../../src/shrinkage/replay-words.ts'
import { plain } from '../../../src/words/sentence.ts'

const axis = (given: Partial<AxisAdvice>): AxisAdvice => ({
  axis: 'X',
  action: 'watch',
  reason: 'on-target',
  builds: 12,
  current: 1.18,
  needed: null,
  next: null,
  stepLimited: false,
  deviation: null,
  deadband: null,
  fits: null,
  buildSigma: null,
  level: null,
  ...given,
})
const advice = (...axes: AxisAdvice[]): Advice => ({
  action: 'watch',
  axes,
  confidence: 0.95,
  settings: DEFAULT_ADJUSTMENT,
})
const chart = {
  subgroups: Array.from({ length: 40 }, (_, i) => ({ label: `b${i}` })),
} as unknown as ChartModel
const signal = (test: Signal['test'], side: Signal['side'], from: number, to: number): Signal => ({
  panel: 'location',
  test,
  side,
  points: Array.from({ length: to - from + 1 }, (_, i) => from + i),
})

describe('what stands in the way', () => {
  it('names signals that overlap on one side once, by the test that saw the most', () => {
    const open = [
      signal('beyond-three-sigma', 'above', 30, 31),
      signal('eight-on-one-side', 'above', 25, 34),
      signal('two-of-three', 'above', 33, 36),
      signal('beyond-three-sigma', 'below', 38, 38),
    ]
    const [found] = obstacles(
      advice(axis({ reason: 'unexplained-signal' })),
      new Map([['X', { chart, open }]]),
    )
    expect(found?.words).toMatch(
      /^Shrinkage along X: ten in a row above the centre \(builds b25 to b36\); below the lower limit \(build b38\)\./,
    )
  })

  it('names too few builds, an unknown factor and a step that is limited', () => {
    const words = obstacles(
      advice(
        axis({ reason: 'too-few-builds' }),
        axis({ axis: 'Y', reason: 'no-factor' }),
        axis({ axis: 'Z', reason: 'beyond-deadband', stepLimited: true }),
      ),
      new Map(),
    ).map((each) => each.words)
    expect(words[0]).toBe('X: twelve builds measured, 25 asked for.')
    expect(words[1]).toMatch(/^Y: the factor .* is not on record/)
    expect(words[2]).toMatch(/^Z: one step takes 0\.0030 at most/)
  })

  it('is nothing where nothing stands there', () => {
    expect(obstacles(advice(axis({}), axis({ reason: 'beyond-deadband' })), new Map())).toEqual([])
  })
})

describe('what came of a prediction, in words', () => {
  const characteristic: Characteristic = {
    id: 1,
    designator: '9',
    name: 'step',
    kind: 'length',
    nominal: 12.4,
    lower: 12.3,
    upper: 12.5,
    unit: 'mm',
    axis: 'Z',
  }
  const outcome = (difference: number): Outcome => ({
    characteristic,
    predicted: 12.4,
    observed: 12.4 + difference,
    builds: 3,
    parts: 60,
    difference,
    allowed: { value: 0, standardError: 0.01, lower: -0.02, upper: 0.02, df: 30 },
    held: Math.abs(difference) <= 0.02,
  })

  it('waits for builds', () => expect(plain(outcomeWords([]))).toMatch(/^No build .* is measured yet\.$/))

  it('says that it held', () => {
    expect(plain(outcomeWords([outcome(0.01), outcome(-0.02)]))).toBe(
      'After three builds the prediction holds: all 2 characteristics lie within what was allowed.',
    )
  })

  it('says how many lie further off, and which by the most', () => {
    expect(plain(outcomeWords([outcome(0.01), outcome(0.03), outcome(-0.05)]))).toBe(
      'After three builds 2 of 3 characteristics lie further off than was allowed, 9 step by the most (−0.0500 from the prediction, ± 0.0200 allowed).',
    )
  })
})

describe('correcting on every build beside the advice, in words', () => {
  const words = (everyBuild: number) =>
    plain(
      replayWords(
        'X',
        { count: 34, first: '0426' },
        { meanSquare: 1, changes: 2 },
        { meanSquare: everyBuild, changes: 34 },
      ),
    )

  it('is said whichever came off better', () => {
    expect(words(1.9)).toBe(
      'Over the 34 builds from 0426 on, correcting X on every build would have left 1.9 times the mean square deviation of the advice, with 34 changes of factor in place of two.',
    )
    expect(words(0.8)).toMatch(/0\.8 times .* the level itself moved here/)
    expect(words(1.02)).toMatch(/as large a mean square deviation as the advice/)
  })
})
