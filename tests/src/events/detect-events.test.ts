import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { buildChart } from '../../../src/charts/chart.ts'
import { DEFAULT_STUDY } from '../../../src/charts/study.ts'
import { momentsOf } from '../../../src/description/moments.ts'
import type { Characteristic } from '../../../src/domain/characteristic.ts'
import { ArgumentError } from '../../../src/errors.ts'
import { detectEvents } from '../../../src/events/detect-events.ts'
import type { ProcessEvent } from '../../../src/events/event.ts'
import { BUILD_SIGMA, buildRecord, type Shift, synthetic } from './synthetic.ts'

const percentOf = (sigmas: number) => 100 * BUILD_SIGMA * sigmas
const names = (event: ProcessEvent | undefined) =>
  event?.members.map(({ characteristic }) => characteristic.designator).join(' ')

describe('the flow of the Nile (R, lm; tests/reference/events/nile.R)', () => {
  const nile = JSON.parse(readFileSync(new URL('../../reference/events/nile.json', import.meta.url), 'utf8'))
  const builds = nile.flow.map((_: number, i: number) =>
    buildRecord(i, { name: String(nile.firstYear + i) }),
  ) as ReturnType<typeof buildRecord>[]
  const characteristic: Characteristic = {
    ...{ id: 1, designator: '1', name: 'flow', kind: 'other', nominal: null, lower: null, upper: null },
    ...{ unit: 'mm', axis: null },
  }
  const cells = nile.flow.map((flow: number, i: number) => ({
    ...momentsOf([flow]),
    ...{ characteristicId: 1, buildId: i + 1, furnaceLoadId: null, stage: 'sintered' as const },
  }))
  const chart = buildChart(
    DEFAULT_STUDY,
    cells,
    builds.map(({ build }) => build),
  )
  const { events } = detectEvents({ charted: [{ characteristic, chart }], builds })

  it('falls to another level from 1899 on, and nothing else happens', () => {
    expect(events).toHaveLength(1)
    expect(events[0]?.kind).toBe('level')
    expect(builds[events[0]?.from as number]?.build.name).toBe(String(nile.firstYearAfter))
    expect(nile.firstYearAfter).toBe(1899)
    expect(events[0]?.standing).toBe(true)
  })

  it('by as much as least squares say; the interval holds theirs, which takes the year as known', () => {
    const shift = events[0]?.members[0]?.shift
    expect(shift?.value).toBeCloseTo(nile.shift, 6)
    expect(shift?.lower).toBeLessThanOrEqual(nile.lower + 0.01 * Math.abs(nile.lower))
    expect(shift?.upper).toBeGreaterThanOrEqual(nile.upper - 0.01 * Math.abs(nile.upper))
  })

  it('a year known to within a few (Cobb, 1978, gives 1898 as the last of the old level)', () => {
    const years = events[0]?.plausible.map((i) => nile.firstYear + i) as number[]
    expect(years).toContain(1899)
    expect(Math.min(...years)).toBeGreaterThanOrEqual(1894)
    expect(Math.max(...years)).toBeLessThanOrEqual(1904)
  })
})

describe('changes at different times on one chart', () => {
  // Y steps at 30, Z at 41; the diameter responds to Y by half.
  const shift: Shift = (axis, build) =>
    (axis === 'Y' && build >= 30 ? -3 : 0) + (axis === 'Z' && build >= 41 ? 3 : 0)
  const { events } = detectEvents(synthetic({ seed: 3, shift }))

  it('are told apart, each with its members, its side and its size', () => {
    expect(events.map(({ kind, axis }) => [kind, axis])).toEqual([
      ['level', 'Y'],
      ['level', 'Z'],
    ])
    expect(names(events[0])).toBe('3 4 7')
    expect(names(events[1])).toBe('5 6')
    for (const [i, [at, size]] of [
      [30, -3],
      [41, 3],
    ].entries() as IterableIterator<[number, [number, number]]>) {
      expect(events[i]?.plausible).toContain(at)
      expect(Math.abs((events[i]?.from as number) - at)).toBeLessThanOrEqual(2)
      expect(events[i]?.percent?.lower).toBeLessThan(percentOf(size))
      expect(events[i]?.percent?.upper).toBeGreaterThan(percentOf(size))
    }
  })

  it('a size without an axis shows half of it', () => {
    const bore = events[0]?.members.find(({ characteristic }) => characteristic.axis === null)
    expect(bore?.percent?.lower).toBeLessThan(percentOf(-1.5))
    expect(bore?.percent?.upper).toBeGreaterThan(percentOf(-1.5))
  })

  it('leave no signal unexplained that lies in them, and keep the others as bare', () => {
    const input = synthetic({ seed: 3, shift })
    const all = input.charted.reduce((sum, { chart }) => sum + chart.signals.length, 0)
    const { bare, events: found } = detectEvents(input)
    const explained = found.flatMap(({ members }) => members.flatMap(({ signals }) => signals))
    expect(explained.length + bare.length).toBe(all)
    expect(explained.length).toBeGreaterThan(5)
  })

  it('the step itself, on the moving range, belongs to them; a signal of another panel or side does not', () => {
    const far: Shift = (axis, build) =>
      (axis === 'Z' && build >= 40 ? 12 : 0) + (axis === 'Z' && build === 20 ? -6 : 0)
    const input = synthetic({ seed: 3, shift: far, axes: ['Z', 'Z'], scatter: (b) => (b === 50 ? 4 : 1) })
    const { events: found, bare: rest } = detectEvents(input)
    const level = found.find(({ kind }) => kind === 'level')
    const signals = level?.members.flatMap((member) => member.signals) ?? []
    expect(signals.some(({ panel, points }) => panel === 'moving-range' && points.includes(40))).toBe(true)
    expect(signals.some(({ panel }) => panel === 'spread')).toBe(false)
    expect(signals.some(({ side, panel }) => panel === 'location' && side === 'below')).toBe(false)
    expect(rest.some(({ signal }) => signal.panel === 'moving-range' && signal.points.includes(40))).toBe(
      false,
    )
  })

  it('two steps to the same side on one axis are two', () => {
    const stairs: Shift = (axis, build) => (axis === 'X' ? -(build >= 30 ? 3 : 0) - (build >= 45 ? 4 : 0) : 0)
    const found = detectEvents(synthetic({ seed: 4, shift: stairs })).events
    expect(found.map(({ kind, axis }) => [kind, axis])).toEqual([
      ['level', 'X'],
      ['level', 'X'],
    ])
    expect(found[0]?.plausible).toContain(30)
    expect(found[1]?.plausible).toContain(45)
  })
})

describe('what becomes of it', () => {
  it('a level that came back has ended, and the last build that shows it is named', () => {
    const shift: Shift = (axis, build) => (axis === 'Z' && build >= 30 && build < 42 ? 4 : 0)
    const { events } = detectEvents(synthetic({ seed: 5, shift }))
    expect(events).toHaveLength(1)
    expect(events[0]?.kind).toBe('level')
    expect(events[0]?.standing).toBe(false)
    expect(events[0]?.plausible).toContain(30)
    expect(Math.abs((events[0]?.to as number) - 41)).toBeLessThanOrEqual(1)
  })

  it('all axes at once are one event without an axis', () => {
    const { events } = detectEvents(synthetic({ seed: 6, shift: (_, build) => (build >= 40 ? -3 : 0) }))
    expect(events).toHaveLength(1)
    expect(events[0]?.axis).toBeNull()
    expect(names(events[0])).toBe('1 2 3 4 5 6 7')
  })

  it('one characteristic alone is an event of one', () => {
    const shift: Shift = (_, build, c) => (c === 2 && build >= 35 ? 4 : 0)
    const { events } = detectEvents(synthetic({ seed: 7, shift }))
    expect(events.map(names)).toEqual(['3'])
    expect(events[0]?.axis).toBe('Y')
  })

  it('one build that stands out is single', () => {
    const shift: Shift = (axis, build) => (axis === 'X' && build === 44 ? -9 : 0)
    const { events } = detectEvents(synthetic({ seed: 8, shift }))
    expect(events.map(({ kind, from, to, standing }) => [kind, from, to, standing])).toEqual([
      ['single', 44, 44, false],
    ])
  })

  it('a slow change of everything along an axis is a drift', () => {
    const shift: Shift = (axis, build) => (axis === 'Y' ? 0.2 * Math.max(0, build - 29) : 0)
    const { events } = detectEvents(synthetic({ seed: 19, shift }))
    expect(events.map(({ kind, axis }) => [kind, axis])).toEqual([['drift', 'Y']])
    expect(events[0]?.confinedTo).toBeNull()
    expect(events[0]?.plausible).toContain(30)
    expect(events[0]?.percent?.lower).toBeLessThan(percentOf(6))
    expect(events[0]?.percent?.upper).toBeGreaterThan(percentOf(6))
  })

  it('a drift of one furnace is confined to it, though the furnaces differ as a matter of course', () => {
    const furnace = (build: number) => ((build * 7) % 5 < 2 ? 'F2' : 'F1')
    const shift: Shift = (axis, build) =>
      axis === 'X' && furnace(build) === 'F2' ? 1 - 0.25 * Math.max(0, build - 29) : 0
    const input = synthetic({ seed: 10, shift, conditions: (build) => ({ furnace: furnace(build) }) })
    const { events } = detectEvents(input)
    expect(events.map(({ kind, axis }) => [kind, axis])).toEqual([['drift', 'X']])
    expect(events[0]?.confinedTo).toEqual({ condition: 'furnace', value: 'F2' })
    expect(events[0]?.plausible).toContain(30)
  })

  it('scatter that grew from a build on is one event of spread that stands', () => {
    const { events } = detectEvents(synthetic({ seed: 11, scatter: (build) => (build >= 40 ? 1.8 : 1) }))
    expect(events.map(({ kind, standing }) => [kind, standing])).toEqual([['spread', true]])
    expect(events[0]?.plausible).toContain(40)
    expect(events[0]?.members).toHaveLength(7)
    for (const { scatter } of events[0]?.members ?? []) {
      expect(scatter?.lower).toBeLessThan(1.95)
      expect(scatter?.upper).toBeGreaterThan(1.65)
    }
  })
})

describe('bounds', () => {
  it('a phase is a boundary: the step that opened it is no event', () => {
    const shift: Shift = (axis, build) => (axis === 'Z' && build >= 30 ? 4 : 0)
    const study = {
      ...DEFAULT_STUDY,
      phases: [
        { fromBuild: null, reason: 'start', baselineCount: 25 },
        { fromBuild: 31, reason: 'new level accepted', baselineCount: 25 },
      ],
    }
    expect(detectEvents(synthetic({ seed: 12, shift })).events).toHaveLength(1)
    expect(detectEvents(synthetic({ seed: 12, shift, study })).events).toEqual([])
  })

  it('an event that lasts to the end of its phase does not stand where another phase follows', () => {
    const shift: Shift = (axis, build) => (axis === 'Z' && build >= 30 && build < 50 ? 4 : 0)
    const study = {
      ...DEFAULT_STUDY,
      phases: [
        { fromBuild: null, reason: 'start', baselineCount: 25 },
        { fromBuild: 51, reason: 'repaired', baselineCount: 25 },
      ],
    }
    const { events } = detectEvents(synthetic({ seed: 13, shift, study }))
    expect(events.map(({ to, standing }) => [to, standing])).toEqual([[49, false]])
  })

  it('a build that is left out of the charts is no event, nor is one that stands beside it', () => {
    const shift: Shift = (axis, build) => (axis === 'X' && build === 44 ? -9 : 0)
    const study = { ...DEFAULT_STUDY, exclusions: [{ buildId: 45, value: null }] }
    expect(detectEvents(synthetic({ seed: 8, shift, study })).events).toEqual([])
  })

  it('values without any scatter are quiet until they move, and then move where they move', () => {
    const [item] = synthetic({ seed: 15 }).charted as [ReturnType<typeof synthetic>['charted'][number]]
    const builds = Array.from({ length: 40 }, (_, i) => buildRecord(i))
    const at = (level: (i: number) => number) => {
      const cells = builds.map(({ build }, i) => ({
        ...momentsOf([level(i), level(i) + 0.01]),
        ...{ characteristicId: 1, buildId: build.id, furnaceLoadId: null, stage: 'sintered' as const },
      }))
      const chart = buildChart(
        DEFAULT_STUDY,
        cells,
        builds.map(({ build }) => build),
      )
      return detectEvents({ charted: [{ ...item, chart }], builds }).events
    }
    expect(at(() => 10)).toEqual([])
    const [moved, ...others] = at((i) => (i >= 30 ? 10.25 : 10))
    expect([moved?.kind, moved?.from, others.length]).toEqual(['level', 30, 0])
    expect(moved?.members[0]?.shift?.value).toBeCloseTo(0.25, 9)
  })

  it('without tests in force there is no signal, and so no event', () => {
    const shift: Shift = (axis, build) => (axis === 'Z' && build >= 30 ? 4 : 0)
    const study = { ...DEFAULT_STUDY, tests: [] }
    expect(detectEvents(synthetic({ seed: 12, shift, study })).events).toEqual([])
  })

  it('nothing measured, and next to nothing, is quiet', () => {
    expect(detectEvents({ charted: [], builds: [] })).toEqual({ events: [], bare: [] })
    expect(detectEvents(synthetic({ seed: 1, builds: 4 })).events).toEqual([])
  })

  it('builds that some characteristics miss stay gaps', () => {
    const shift: Shift = (axis, build) => (axis === 'Z' && build >= 40 ? 4 : 0)
    const input = synthetic({ seed: 14, shift })
    const builds = [...input.builds.slice(0, 20), buildRecord(999), ...input.builds.slice(20)]
    const { events } = detectEvents({ ...input, builds })
    expect(events).toHaveLength(1)
    expect(events[0]?.plausible).toContain(41)
  })

  it('refuses charts of builds that are not on the timeline, and a level that is no probability', () => {
    const input = synthetic({ seed: 1 })
    expect(() => detectEvents({ ...input, builds: input.builds.slice(1) })).toThrow(ArgumentError)
    expect(() => detectEvents({ charted: [], builds: [], level: 0 })).toThrow(ArgumentError)
    expect(() => detectEvents({ charted: [], builds: [], level: Number.NaN })).toThrow(ArgumentError)
  })
})

describe('by simulation, fixed seeds', () => {
  it('the 95 % set of the change point and the interval of the size hold the truth', () => {
    const shift: Shift = (axis, build) => (axis === 'Z' && build >= 35 ? -3 : 0)
    let found = 0
    let placed = 0
    let sized = 0
    for (let seed = 200; seed < 350; seed++) {
      const input = synthetic({ seed, shift, axes: ['Z', 'Z', 'Z', 'Z'] })
      const event = detectEvents(input).events.find(({ kind }) => kind === 'level')
      if (event?.percent == null) continue
      found++
      if (event.plausible.includes(35)) placed++
      if (event.percent.lower <= percentOf(-3) && event.percent.upper >= percentOf(-3)) sized++
    }
    expect(found).toBeGreaterThanOrEqual(147)
    // Four standard errors of a share of 0.95 among 150 are 0.07; four members count as one series, not as four.
    expect(placed / found).toBeGreaterThan(0.88)
    expect(sized / found).toBeGreaterThan(0.88)
    expect(sized / found).toBeLessThan(1)
  })
})
