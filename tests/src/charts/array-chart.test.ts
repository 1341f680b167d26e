import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type ArrayChart, arrayChart, SPREAD_BIT } from '../../../src/charts/array-chart.ts'
import { buildChart } from '../../../src/charts/chart.ts'
import type { ChartModel } from '../../../src/charts/model.ts'
import { DEFAULT_STUDY, type Study } from '../../../src/charts/study.ts'
import { WESTERN_ELECTRIC } from '../../../src/charts/tests.ts'
import { type Moments, momentsOf } from '../../../src/description/moments.ts'
import { ArgumentError } from '../../../src/errors.ts'
import { normalSource, uniformSource } from '../run-length/simulation.ts'

function asArrays(groups: readonly Moments[], baseline: number): ArrayChart {
  const column = (field: 'n' | 'mean' | 'm2') => Float64Array.from(groups, (group) => group[field])
  return arrayChart(column('n'), column('mean'), column('m2'), baseline)
}

/** The same subgroups through the object path, charted as means with s whether builds differ or not. */
function asObjects(groups: readonly Moments[], baseline: number): ChartModel {
  const study: Study = {
    ...DEFAULT_STUDY,
    phases: [{ fromBuild: null, reason: '', baselineCount: baseline }],
    betweenLevel: 0,
  }
  const cells = groups.map((moments, i) => ({
    ...moments,
    characteristicId: 1,
    buildId: i + 1,
    furnaceLoadId: null,
    stage: 'sintered' as const,
  }))
  return buildChart(
    study,
    cells,
    groups.map((_, i) => ({ id: i + 1, name: String(i + 1) })),
  )
}

/** The object path's signals as bits. */
function bitsOf(model: ChartModel): number[] {
  const bits = new Array<number>(model.subgroups.length).fill(0)
  for (const { panel, test, points } of model.signals) {
    const bit = panel === 'spread' ? SPREAD_BIT : 1 << WESTERN_ELECTRIC.findIndex(({ id }) => id === test)
    for (const i of points) bits[i] = (bits[i] as number) | bit
  }
  return bits
}

function expectTheSame(groups: readonly Moments[], baseline: number): void {
  const model = asObjects(groups, baseline)
  if (model.form !== 'mean-and-s') return
  const chart = asArrays(groups, baseline)
  const [phase] = model.phases
  expect(chart.centre).toBe(phase?.centre)
  expect(chart.sigmaWithin).toBe(phase?.sigmaWithin)
  expect(chart.dfWithin).toBe(phase?.dfWithin)
  expect([...chart.breached]).toEqual(bitsOf(model))
  for (const [i, { n }] of groups.entries()) {
    const limits = chart.limitsOf(n)
    expect(limits?.lower ?? null).toBe(model.location.lower[i])
    expect(limits?.upper ?? null).toBe(model.location.upper[i])
    expect(limits?.spread?.lower ?? null).toBe(model.spread?.lower[i])
    expect(limits?.spread?.upper ?? null).toBe(model.spread?.upper[i])
  }
}

describe('agrees to the last digit with the object path', () => {
  it.each([
    ['in control', 0, 1, 51],
    ['with means that wander', 0.7, 1, 52],
    ['with spreads that change', 0, 3, 53],
    ['far out of control', 4, 5, 54],
  ])('%s, 4000 subgroups of unequal sizes', (_, wander, spread, seed) => {
    const normal = normalSource(seed)
    const uniform = uniformSource(seed)
    let level = 20
    const groups = Array.from({ length: 4000 }, () => {
      level = 20 + 0.9 * (level - 20) + (wander * normal()) / 3
      const sigma = 1 + (spread - 1) * uniform()
      // From single values to sizes that share a place with others.
      const n = uniform() < 0.02 ? 1020 + Math.floor(20 * uniform()) : 1 + Math.floor(12 * uniform())
      return momentsOf(Array.from({ length: n }, () => level + sigma * normal()))
    })
    expectTheSame(groups, 4000)
    expectTheSame(groups, 30)
  })

  it('where points lie on the lines', () => {
    // Coarse values make means fall on the centre and on whole sigmas.
    const values = fc.array(fc.array(fc.integer({ min: -3, max: 3 }), { minLength: 1, maxLength: 4 }), {
      minLength: 2,
      maxLength: 60,
    })
    fc.assert(fc.property(values, (groups) => expectTheSame(groups.map(momentsOf), groups.length)))
    // Sigma 1 / c4(3), centre 0, and means of exactly so many standard errors.
    const pair = (mean: number): Moments => ({ n: 4, mean, m2: 3, min: mean - 1, max: mean + 1 })
    const first = asObjects([pair(0), pair(0)], 2)
    const error = first.location.sigma[0] as number
    const onLines = [3, -3, 2, 2, -2, -2, 1, 1, 1, 1, -1, -1, -1, -1, 0, 3.1, 2.5, -2.5, 2.5, 1.5, 1.5]
    expectTheSame([pair(0), pair(0), ...onLines.map((z) => pair(z * error))], 2)
  })
})

describe('edges', () => {
  it('has no limits where nothing scatters inside subgroups, and no sigma for single values', () => {
    const flat = arrayChart(Float64Array.of(2, 3), Float64Array.of(5, 6), Float64Array.of(0, 0), 2)
    expect(flat.sigmaWithin).toBe(0)
    expect(flat.limitsOf(2)).toBeNull()
    const single = arrayChart(Float64Array.of(1, 1), Float64Array.of(5, 6), Float64Array.of(0, 0), 2)
    expect(single).toMatchObject({ centre: 5.5, sigmaWithin: null, dfWithin: 0 })
    expect([...single.breached]).toEqual([0, 0])
  })

  it('names what it cannot use, wherever it stands', () => {
    const chart = (change: { n?: number; mean?: number; m2?: number }, at: number, baseline = 40) => {
      const n = new Float64Array(50).fill(5)
      const mean = Float64Array.from({ length: 50 }, (_, i) => (i % 3) / 10)
      const m2 = new Float64Array(50).fill(4)
      if (change.n !== undefined) n[at] = change.n
      if (change.mean !== undefined) mean[at] = change.mean
      if (change.m2 !== undefined) m2[at] = change.m2
      return () => arrayChart(n, mean, m2, baseline)
    }
    expect(chart({}, 0)).not.toThrow()
    for (const at of [0, 7, 45]) {
      for (const n of [0, 2.5, -1, Number.NaN, Number.POSITIVE_INFINITY]) {
        expect(chart({ n }, at)).toThrow(expect.objectContaining({ name: 'ArgumentError', argument: 'n' }))
      }
      for (const mean of [Number.NaN, Number.NEGATIVE_INFINITY]) {
        expect(chart({ mean }, at)).toThrow(expect.objectContaining({ argument: 'mean' }))
      }
      for (const m2 of [-1e-9, Number.NaN, Number.POSITIVE_INFINITY]) {
        expect(chart({ m2 }, at)).toThrow(expect.objectContaining({ argument: 'm2' }))
      }
    }
    expect(chart({}, 0, 0)).toThrow(ArgumentError)
    expect(chart({}, 0, 51)).toThrow(/51 of 50/)
    expect(() => arrayChart(new Float64Array(2), new Float64Array(1), new Float64Array(2), 1)).toThrow(
      ArgumentError,
    )
  })
})
