import { describe, expect, it } from 'vitest'
import { DEFAULT_STUDY } from '../../../src/charts/study.ts'
import { detectEvents } from '../../../src/events/detect-events.ts'
import type { EventMember, ProcessEvent } from '../../../src/events/event.ts'
import { forecast, isForecast, type Target } from '../../../src/events/forecast.ts'
import { BUILD_SIGMA, type Shift, type Synthetic, synthetic } from './synthetic.ts'

const SLOPE = -0.25
const driftX: Shift = (axis, build) => (axis === 'X' ? SLOPE * Math.max(0, build - 29) : 0)
const LIMIT: Target = { reach: 'limit' }

function drifting(record: Synthetic) {
  const input = synthetic(record)
  const event = detectEvents(input).events[0] as ProcessEvent
  const of = (index: number, target: Target, changed: Partial<EventMember['characteristic']> = {}) => {
    const member = event.members[index] as EventMember
    const { chart } = input.charted.find(
      ({ characteristic }) => characteristic.id === member.characteristic.id,
    ) as (typeof input.charted)[number]
    const characteristic = { ...member.characteristic, ...changed }
    return forecast(event, { ...member, characteristic }, chart, input.builds, target)
  }
  return { event, of }
}

describe('a drift that goes on', () => {
  const { event, of } = drifting({ seed: 41, shift: driftX })

  it('meets the limit when the line planted does, within its bounds', () => {
    expect(event.kind).toBe('drift')
    const result = of(0, LIMIT)
    if (!isForecast(result)) throw new Error(result.reason)
    // Characteristic 1: nominal 10, lower limit 9.9, drifting by a quarter of 0.0005 · 10 a build from position 30.
    const truth = 29 - 0.1 / (10 * BUILD_SIGMA * SLOPE)
    expect(result.side).toBe('lower')
    expect(result.level).toBe(9.9)
    expect(result.slope.lower).toBeLessThan(10 * BUILD_SIGMA * SLOPE)
    expect(result.slope.upper).toBeGreaterThan(10 * BUILD_SIGMA * SLOPE)
    expect(result.earliest).toBeLessThan(truth)
    expect(result.latest ?? Number.POSITIVE_INFINITY).toBeGreaterThan(truth)
    expect(result.at).toBeGreaterThan(59)
    expect(result.reached).toBe(false)
  })

  it('meets a wanted Ppk before the limit, and a higher one earlier', () => {
    const levels = [LIMIT, { reach: 'ppk', index: 1 } as const, { reach: 'ppk', index: 1.33 } as const].map(
      (target) => {
        const result = of(0, target)
        if (!isForecast(result)) throw new Error(result.reason)
        return result.level
      },
    )
    expect(levels[1]).toBeGreaterThan(levels[0] as number)
    // Three sigmas for each unit of the index.
    const [limit, one, more] = levels as [number, number, number]
    expect((more - limit) / (one - limit)).toBeCloseTo(1.33, 9)
  })

  it('does not look at builds that are left out', () => {
    const study = { ...DEFAULT_STUDY, exclusions: [{ buildId: 56, value: null }] }
    const slopes = [0, 40].map((wild) => {
      const shift: Shift = (axis, build, c) => driftX(axis, build, c) + (build === 55 ? wild : 0)
      const result = drifting({ seed: 41, shift, study }).of(0, LIMIT)
      if (!isForecast(result)) throw new Error(result.reason)
      return result.slope.value
    })
    expect(slopes[0]).toBe(slopes[1])
  })

  it('has nothing to say without a limit on the side that it drifts to', () => {
    expect(of(0, LIMIT, { lower: null })).toEqual({ reason: 'no limit on that side' })
    expect(isForecast(of(0, LIMIT, { upper: null }))).toBe(true)
  })

  it('says so where the level is passed already', () => {
    const result = of(0, LIMIT, { lower: 9.99 })
    if (!isForecast(result)) throw new Error(result.reason)
    expect(result.reached).toBe(true)
    expect(result.at).toBeNull()
  })
})

describe('a drift of one furnace', () => {
  it('is followed among its own builds', () => {
    const furnace = (build: number) => ((build * 7) % 5 < 2 ? 'F2' : 'F1')
    const { event, of } = drifting({
      seed: 42,
      shift: (axis, build) =>
        axis === 'X' && furnace(build) === 'F2' ? 1.5 * SLOPE * Math.max(0, build - 29) : 0,
      conditions: (build) => ({ furnace: furnace(build) }),
    })
    expect(event.confinedTo?.value).toBe('F2')
    const result = of(0, LIMIT)
    if (!isForecast(result)) throw new Error(result.reason)
    expect(result.slope.lower).toBeLessThan(10 * BUILD_SIGMA * 1.5 * SLOPE)
    expect(result.slope.upper).toBeGreaterThan(10 * BUILD_SIGMA * 1.5 * SLOPE)
  })
})

describe('no drift', () => {
  it('a level that moved, or a drift that ended, forecasts nothing', () => {
    const { of } = drifting({ seed: 43, shift: (axis, build) => (axis === 'X' && build >= 35 ? -4 : 0) })
    expect(of(0, LIMIT)).toEqual({ reason: 'no drift' })
  })
})
