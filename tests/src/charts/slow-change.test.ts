import { describe, expect, it } from 'vitest'
import { cusumChart } from '../../../src/charts/cusum.ts'
import { ewmaChart } from '../../../src/charts/ewma.ts'
import type { ChartModel, Panel, PhaseLimits, Signal } from '../../../src/charts/model.ts'
import { slowChart } from '../../../src/charts/slow-change.ts'
import { plain } from '../../../src/words/sentence.ts'
import { comparison, slowWords } from '../../../src/words/slow-words.ts'
import { CHARACTERISTICS } from '../../client/fixtures.ts'

/**
 * The average, the sums and their limits are checked in ewma.test.ts, cusum.test.ts and under run-length/; here, that
 * they are applied to standardised points, phase by phase, and compared with the tests.
 */

const Z = [0.3, -0.5, 0.8, -0.2, 0.1, 1.4, 1.9, 1.2, 2.1, 1.6, 1.8, 2.3]

function chart(
  z: readonly (number | null)[],
  phases: readonly [number, number][],
  signals: Signal[] = [],
): ChartModel {
  const each = <T>(value: T) => z.map((point) => (point === null ? null : value))
  const location: Panel = {
    id: 'location',
    values: z.map((point) => (point === null ? null : 10 + point * 0.02)),
    centre: each(10),
    lower: each(9.94),
    upper: each(10.06),
    sigma: each(0.02),
  }
  return {
    form: 'mean-and-s',
    spreadStatistic: 'standard deviation',
    subgroups: z.map((point, i) => ({
      buildId: i,
      label: `B${i}`,
      n: 5,
      mean: 10 + (point ?? 0) * 0.02,
      sd: 0.04,
      min: 9,
      max: 11,
      leftOut: point === null,
      leftOutValues: [],
    })),
    phases: phases.map(([from, to]) => ({ from, to }) as PhaseLimits),
    location,
    movingRange: null,
    spread: null,
    signals,
    inControlRunLength: 92,
  }
}

const average = { by: 'average', weight: 0.2, alarm: 370 } as const
const sum = { by: 'sum', shift: 1, alarm: 370 } as const

describe('slow changes', () => {
  it('are averaged as the standardised points are, with the published limit', () => {
    const slow = slowChart(chart(Z, [[0, 11]]), average)
    // L = 2.86 for λ = 0.2 and 370: J. M. Lucas and M. S. Saccucci, Technometrics 32 (1990), 1–29, from memory.
    expect(slow.multiplier).toBeCloseTo(2.86, 2)
    const direct = ewmaChart(
      Z,
      Z.map(() => 1),
      0,
      { weight: 0.2, multiplier: slow.multiplier },
    )
    for (const [i, value] of direct.values.entries()) {
      expect(slow.above[i]).toBeCloseTo(value, 9)
      expect(slow.upper[i]).toBeCloseTo(direct.upper[i] as number, 12)
    }
    expect(slow.below).toBeNull()
  })

  it('are summed up with the published decision interval, what lies below as a negative number', () => {
    const slow = slowChart(chart(Z, [[0, 11]]), sum)
    // h = 4.77 for k = 0.5 and 370: D. M. Hawkins, Journal of Quality Technology 25 (1993), 248–252, from memory.
    expect(slow.multiplier).toBeCloseTo(4.77, 2)
    const direct = cusumChart(
      Z,
      Z.map(() => 1),
      0,
      { reference: 0.5, decision: slow.multiplier, headStart: 0 },
    )
    for (const [i, value] of direct.above.entries()) {
      expect(slow.above[i]).toBeCloseTo(value, 9)
      expect(slow.below?.[i]).toBeCloseTo(-(direct.below[i] as number), 9)
    }
    expect(slow.signals[0]?.from).toBe(direct.signals[0])
  })

  it('begin anew with each phase, and pass over what is left out', () => {
    const z = [...Z.slice(0, 6), null, ...Z.slice(6)]
    const slow = slowChart(
      chart(z, [
        [0, 2],
        [3, 12],
      ]),
      average,
    )
    expect(slow.above[3]).toBeCloseTo(0.2 * -0.2, 12)
    expect(slow.above[6]).toBeNull()
    expect(slow.above[7]).toBeCloseTo(0.8 * (slow.above[5] as number) + 0.2 * 1.9, 12)
  })

  it('name the build at which the tests were complete, on the same side only', () => {
    const run: Signal = {
      panel: 'location',
      test: 'four-of-five',
      side: 'above',
      points: [5, 6, 7, 8, 9, 10, 11],
    }
    const [signal] = slowChart(chart(Z, [[0, 11]], [run]), average).signals
    expect(signal).toMatchObject({ side: 'above', to: 11, tests: 8 })
    const [other] = slowChart(chart(Z, [[0, 11]], [{ ...run, side: 'below' }]), average).signals
    expect(other?.tests).toBeNull()
  })

  it('are told in words, beside the tests', () => {
    const run: Signal = {
      panel: 'location',
      test: 'eight-on-one-side',
      side: 'above',
      points: [4, 5, 6, 7, 8, 9, 10, 11],
    }
    const model = chart(Z, [[0, 11]], [run])
    const slow = slowChart(model, average)
    const [characteristic] = CHARACTERISTICS
    if (characteristic === undefined) throw new Error('no characteristic')
    const { headline, grounds } = slowWords(characteristic, model, slow, average)
    const from = slow.signals[0]?.from as number
    expect(11 - from).toBe(3)
    expect(plain(headline)).toMatch(
      /the running average goes above its limits at build B8, three builds before the tests in force, which signal at B11\.$/,
    )
    expect(plain(grounds)).toContain(
      'one false alarm in 370 builds on average; the tests in force have one in 92.',
    )
    // Back inside for a build and out again: the tests are compared with where it first went out.
    const stretch = { side: 'above' as const, tests: 8 }
    const twice = {
      ...slow,
      signals: [
        { ...stretch, from: 8, to: 8 },
        { ...stretch, from: 10, to: 11 },
      ],
    }
    expect(plain(slowWords(characteristic, model, twice, average).headline)).toMatch(
      /goes above its limits at build B8, as do the tests in force, and again at B10\.$/,
    )
    const label = (i: number) => `B${i}`
    expect(twice.signals.map((signal) => comparison(signal, twice.signals, label))).toEqual([
      'as do the tests in force',
      'again, as at B8',
    ])
    const none = slow.upper.map(() => null)
    const bare = { ...slow, signals: [], upper: none, lower: none }
    expect(plain(slowWords(characteristic, model, bare, average).headline)).toBe(
      '1 length overall has no limits yet, so that the running average tells nothing.',
    )
    const calm = chart(Z.slice(0, 5), [[0, 4]])
    expect(plain(slowWords(characteristic, calm, slowChart(calm, sum), sum).headline)).toContain(
      'the running sum stays within its limits',
    )
  })
})
