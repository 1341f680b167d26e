import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type Component, componentAt } from '../../../src/events/component.ts'
import { leastSquares } from '../../../src/events/least-squares.ts'
import { bestCommon, bestLasting, gainsByEnd, gainsByStart } from '../../../src/events/scan.ts'
import type { Residuals } from '../../../src/events/sums.ts'

const START = 7

/** Squares that a component takes off, level and main effect of its value fitted with it, by the plain definition. */
function gain({ residuals, weights }: Residuals, component: Component): number {
  const n = residuals.length
  const base = [new Float64Array(n).fill(1)]
  if (component.value !== null) base.push(component.value.share.slice(START, START + n))
  const column = residuals.map((_, i) => componentAt(component, START + i))
  return (
    leastSquares(base, residuals, weights).squares -
    leastSquares([...base, column], residuals, weights).squares
  )
}

const series = fc
  .array(fc.tuple(fc.integer({ min: -500, max: 500 }), fc.integer({ min: 0, max: 3 }), fc.boolean()), {
    minLength: 12,
    maxLength: 30,
  })
  .map((rows) => {
    const share = new Float64Array(START + rows.length)
    rows.forEach(([, , inside], i) => {
      share[START + i] = inside ? 1 : 0
    })
    // Some builds are missing, some are split.
    share[START + 2] = 0.5
    return {
      residuals: Float64Array.from(rows, ([value]) => value / 100),
      weights: Float64Array.from(rows, ([, weight]) => weight),
      start: START,
      value: { condition: 'furnace', value: 'F2', share },
    }
  })
  .filter(({ weights }) => weights.filter((weight) => weight > 0).length >= 9)

describe('cumulative sums give what least squares give', () => {
  it.each(['flat', 'ramp'] as const)(
    '%s, for every start and every end, with and without a value',
    (form) => {
      fc.assert(
        fc.property(series, fc.boolean(), (item, confined) => {
          const value = confined ? item.value : null
          const last = START + item.residuals.length - 1
          const byStart = gainsByStart(item, { from: START, to: last - 1, form, value })
          byStart.forEach((found, i) => {
            if (Number.isNaN(found)) return
            const expected = gain(item, { from: START + i, to: last - 1, form, value })
            expect(Math.abs(found - expected)).toBeLessThan(1e-6)
          })
          const byEnd = gainsByEnd(item, { from: START + 3, to: last, form, value })
          byEnd.forEach((found, i) => {
            if (Number.isNaN(found)) return
            const expected = gain(item, { from: START + 3, to: START + i, form, value })
            expect(Math.abs(found - expected)).toBeLessThan(1e-6)
          })
        }),
        { numRuns: 60 },
      )
    },
  )

  it('no lasting change explains more than the best found', () => {
    fc.assert(
      fc.property(series, (item) => {
        const last = START + item.residuals.length - 1
        const found = bestLasting(item, null).find(({ component }) => component.form === 'flat')
        const present = (i: number) => item.weights.slice(0, i).filter((weight) => weight > 0).length
        const all = present(item.weights.length)
        for (let i = 1; i < item.weights.length; i++) {
          if (item.weights[i] === 0 || present(i) < 3 || all - present(i) < 3) continue
          const other = gain(item, { from: START + i, to: last, form: 'flat', value: null })
          expect(other).toBeLessThanOrEqual((found?.squares ?? 0) + 1e-6)
        }
      }),
      { numRuns: 40 },
    )
  })

  it('a passing change is found where it is, in length and place', () => {
    const residuals = new Float64Array(40)
    residuals.fill(2, 12, 16)
    const { passing } = bestCommon({ start: START, residuals, weights: new Float64Array(40).fill(1) })
    expect([passing?.component.from, passing?.component.to]).toEqual([START + 12, START + 15])
    // Four of forty at 2, the others at 0: 4 · 2² · 36/40.
    expect(passing?.squares).toBeCloseTo(14.4, 9)
    expect(passing?.left).toBeCloseTo(0, 9)
  })

  it('a value that all later builds have confines nothing', () => {
    const residuals = Float64Array.from({ length: 40 }, (_, i) => (i >= 20 ? 1 : 0) + 0.1 * (i % 3))
    const share = Float64Array.from({ length: START + 40 }, (_, i) =>
      i - START >= 20 || i % 2 === 0 ? 1 : 0,
    )
    const weights = new Float64Array(40).fill(1)
    const found = bestLasting({ start: START, residuals, weights }, { condition: 'lot', value: 'B', share })
    for (const { component } of found) expect(component.from).toBeLessThan(START + 20)
  })
})
