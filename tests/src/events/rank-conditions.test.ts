import { describe, expect, it } from 'vitest'
import { detectEvents } from '../../../src/events/detect-events.ts'
import { rankConditions } from '../../../src/events/rank-conditions.ts'
import { BUILD_SIGMA, type Shift, type Synthetic, synthetic } from './synthetic.ts'

const stepZ: Shift = (axis, build) => (axis === 'Z' && build >= 35 ? -4 : 0)

function ranked(record: Synthetic) {
  const input = synthetic(record)
  const { events } = detectEvents(input)
  expect(events).toHaveLength(1)
  const [event] = events
  if (event === undefined) throw new Error('no event')
  return { event, list: rankConditions(event, input.builds) }
}

describe('a level that moved', () => {
  it('with nothing recorded that changed has an empty list', () => {
    expect(ranked({ seed: 21, shift: stepZ }).list).toEqual([])
  })

  it('is accounted for by what changed there and stayed, not by what came and went', () => {
    const { event, list } = ranked({
      seed: 22,
      shift: stepZ,
      conditions: (build) => ({
        powderLot: build >= 35 ? 'B' : 'A',
        printer: build % 2 === 0 ? 'P1' : 'P2',
        powderReuse: build % 7,
      }),
    })
    expect(event.plausible).toContain(35)
    expect(list.map(({ condition, from, to }) => [condition, from, to])).toEqual([['powder lot', 'A', 'B']])
    expect(list[0]?.share).toBeGreaterThan(0.9)
    expect(list[0]?.method).toBe('least-squares')
  })

  it('is not accounted for by a change outside the confidence set', () => {
    const { event, list } = ranked({
      seed: 22,
      shift: stepZ,
      conditions: (build) => ({ powderLot: build >= 20 ? 'B' : 'A' }),
    })
    expect(event.plausible).not.toContain(20)
    expect(list).toEqual([])
  })

  it('names both where two conditions changed at once: nothing tells them apart', () => {
    const { list } = ranked({
      seed: 22,
      shift: stepZ,
      conditions: (build) => ({ powderLot: build >= 35 ? 'B' : 'A', printer: build >= 35 ? 'P2' : 'P1' }),
    })
    expect(list.map(({ condition }) => condition).sort()).toEqual(['powder lot', 'printer'])
    expect(list[0]?.share).toBe(list[1]?.share)
  })
})

describe('scale factors predict their own effect', () => {
  const size = 100 * BUILD_SIGMA * -4
  const scaled = (z: number, y: number) => (build: number) => ({
    scale: { x: 1.18, y: build >= 35 ? y : 1.19, z: build >= 35 ? z : 1.2 },
    powderLot: build >= 35 ? 'B' : 'A',
  })

  it('one that predicts what was seen is near 1, and its prediction is nominal × Δfactor/factor', () => {
    const z = 1.2 * (1 + size / 100)
    const { list } = ranked({ seed: 23, shift: stepZ, conditions: scaled(z, 1.19) })
    const scale = list.find(({ condition }) => condition === 'scale factor Z')
    expect(scale?.predictedPercent).toBeCloseTo(size, 9)
    expect(scale?.share).toBeGreaterThan(0.8)
  })

  it('one that predicts a quarter of it accounts for about a quarter, and the powder lot comes first', () => {
    const z = 1.2 * (1 + size / 400)
    const { list } = ranked({ seed: 23, shift: stepZ, conditions: scaled(z, 1.19) })
    expect(list[0]?.condition).toBe('powder lot')
    const scale = list.find(({ condition }) => condition === 'scale factor Z')
    expect(Math.abs((scale?.share ?? 0) - 0.25)).toBeLessThan(0.06)
  })

  it.each([
    ['that predicts the other side', 1.2 * (1 - size / 100), 1.19],
    ['of another axis', 1.2, 1.19 * (1 + size / 100)],
  ])('one %s accounts for nothing', (_, z, y) => {
    const { list } = ranked({ seed: 23, shift: stepZ, conditions: scaled(z, y) })
    expect(list.map(({ condition }) => condition)).toEqual(['powder lot'])
  })
})

describe('an event confined to one furnace', () => {
  const furnace = (build: number) => ((build * 7) % 5 < 2 ? 'F2' : 'F1')

  it('is accounted for by that furnace, by the alternation itself', () => {
    const { event, list } = ranked({
      seed: 24,
      shift: (axis, build) => (axis === 'X' && furnace(build) === 'F2' ? -0.25 * Math.max(0, build - 29) : 0),
      conditions: (build) => ({ furnace: furnace(build), powderLot: build >= 30 ? 'B' : 'A' }),
    })
    expect(event.confinedTo?.value).toBe('F2')
    expect(list.map(({ condition, to, method }) => [condition, to, method])).toEqual([
      ['furnace', 'F2', 'alternation'],
    ])
    expect(list[0]?.share).toBeGreaterThan(0.7)
  })

  it('a change of all builds is not laid to a furnace that comes and goes', () => {
    const { event, list } = ranked({
      seed: 25,
      shift: stepZ,
      conditions: (build) => ({ furnace: furnace(build) }),
    })
    expect(event.confinedTo).toBeNull()
    expect(list).toEqual([])
  })
})
