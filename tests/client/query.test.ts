import { describe, expect, it } from 'vitest'
import { chartAddress, driftPage, subgroupAddress } from '../../client/data/addresses.ts'
import { capabilityState } from '../../client/data/capability-state.ts'
import {
  changeOf,
  chosenRow,
  driftState,
  movedBand,
  namedEvent,
  neighbourRow,
  windowChoices,
  windowOf,
} from '../../client/data/drift-state.ts'
import { changedQuery } from '../../client/data/query.ts'
import type { EventsView, EventView } from '../../server/contract/views.ts'
import { sortRows } from '../../src/figures/strip-layout.ts'
import { driftFixture, MOVED_AT } from './fixtures.ts'

function eventOf(from: number, designators: readonly string[], of: Partial<EventView> = {}): EventView {
  return {
    kind: 'level',
    sentence: [],
    grounds: [],
    from,
    plausible: [from - 1, from, from + 2],
    to: 59,
    standing: true,
    members: designators.map((designator) => ({
      designator,
      name: '',
      unit: 'mm' as const,
      shift: { value: -0.02, lower: -0.03, upper: -0.01 },
      percent: null,
      scatter: null,
      signals: 1,
    })),
    conditions: [],
    confinedTo: null,
    answer: null,
    forecast: null,
    ...of,
  }
}

const scatter = { shift: null, scatter: { value: 2, lower: 1.5, upper: 3 } }
const EVENTS: EventsView = {
  events: [
    eventOf(MOVED_AT, ['9']),
    eventOf(20, ['3']),
    eventOf(30, ['3']),
    eventOf(45, ['1'], { standing: false }),
    eventOf(50, [], { members: eventOf(50, ['2']).members.map((member) => ({ ...member, ...scatter })) }),
  ],
  opening: 0,
  headline: [],
  grounds: [],
  level: 0.02,
  buildNames: Array.from({ length: 60 }, (_, i) => String(400 + i).padStart(4, '0')),
  bareSignals: 0,
  expectedByChance: 1,
}

describe('addresses', () => {
  it('keep any character of a name', () => {
    expect(driftPage({ number: 'A/1 #2', revision: 'ä' }, '4?')).toBe('/drift/A%2F1%20%232/%C3%A4/4%3F')
    expect(chartAddress({ number: 'A', revision: 'B' }, '1/2', 'green')).toBe(
      '/api/part-numbers/A/B/characteristics/1%2F2/chart?stage=green',
    )
    expect(subgroupAddress({ number: 'A', revision: 'B' }, '1', 'x y', 'sintered')).toContain(
      '/builds/x%20y?',
    )
  })
})

describe('the query', () => {
  it('takes a change, and loses what is set to null', () => {
    expect(changedQuery({ a: '1', b: '2' }, { b: null, c: '3' })).toBe('?a=1&c=3')
    expect(changedQuery({ a: '1' }, { a: null })).toBe('')
  })
})

describe('the state of the drift page', () => {
  it('has defaults where the address says nothing', () => {
    expect(driftState({})).toEqual({
      stage: 'sintered',
      order: 'axis',
      builds: 60,
      build: null,
      specification: false,
      average: false,
    })
  })

  it('reads what the address says', () => {
    expect(
      driftState({
        stage: 'green',
        rows: 'worst',
        builds: 'all',
        build: '0441',
        specification: 'shown',
        average: 'shown',
      }),
    ).toEqual({
      stage: 'green',
      order: 'worst',
      builds: null,
      build: '0441',
      specification: true,
      average: true,
    })
  })

  it.each(['0', '-3', '1.5', 'x', ''])('passes over builds=%s', (builds) => {
    expect(driftState({ builds }).builds).toBe(60)
  })

  it('shows the last builds, or all where there are fewer', () => {
    expect(windowOf(100, 60)).toEqual([40, 99])
    expect(windowOf(10, 60)).toEqual([0, 9])
    expect(windowOf(100, null)).toEqual([0, 99])
    expect(windowOf(0, 60)).toEqual([0, 0])
  })

  it('offers spans shorter than the record, and all', () => {
    expect(windowChoices(100)).toEqual([30, 60, null])
    expect(windowChoices(20)).toEqual([null])
  })
})

describe('the row that is charted', () => {
  const view = driftFixture()

  it('is the one named, or the one to look at first', () => {
    expect(chosenRow(view, '5')?.characteristic.designator).toBe('5')
    const worst = sortRows(view.overview.rows, 'worst')[0]
    expect(chosenRow(view, undefined)).toBe(worst)
    expect(chosenRow(view, 'no such')).toBe(worst)
  })

  it('moved where the event that stands for it may have begun, or else at its worst signal', () => {
    const row = chosenRow(view, '9')
    if (row === null) throw new Error('row 9 is needed here')
    const change = changeOf(EVENTS, '9')
    expect(change?.event.from).toBe(MOVED_AT)
    expect(movedBand(row, change)).toEqual({ from: 40, to: 43, at: MOVED_AT, side: 'under' })
    const first = row.worst?.signal.points[0]
    expect(movedBand(row, null)).toEqual({ from: first, to: first, at: first, side: 'under' })
    expect(movedBand({ ...row, worst: null }, null)).toBeNull()
  })

  it('takes the latest event that stands for it, and none that has ended or is of scatter', () => {
    expect(changeOf(EVENTS, '3')?.event.from).toBe(30)
    expect(changeOf(EVENTS, '1')).toBeNull()
    expect(changeOf(EVENTS, '2')).toBeNull()
    expect(changeOf(null, '9')).toBeNull()
  })

  it('names the event that the page opens with, by a build of it or as the one that stands', () => {
    const named = (of: Partial<Parameters<typeof namedEvent>[2]>) =>
      namedEvent(view, EVENTS, { build: undefined, designator: '3', kind: undefined, ...of })
    expect(named({})).toBeNull()
    expect(named({ build: view.builds[20]?.name })).toBe(1)
    expect(named({ kind: 'standing' })).toBe(2)
    expect(named({ kind: 'standing', designator: '1' })).toBeNull()
  })

  it('has neighbours in the order shown, and none beyond the ends', () => {
    const [first, second] = sortRows(view.overview.rows, 'axis') as [never, never]
    expect(neighbourRow(view.overview.rows, 'axis', first, 1)).toBe(second)
    expect(neighbourRow(view.overview.rows, 'axis', first, -1)).toBe(first)
  })
})

describe('the state of the capability page', () => {
  it('has defaults, and passes over what cannot be asked', () => {
    const expected = { stage: 'sintered', required: null, confidence: null, last: null }
    expect(capabilityState({})).toEqual(expected)
    expect(capabilityState({ required: '99', confidence: '1', last: '0' })).toEqual(expected)
    expect(capabilityState({ required: '', confidence: 'x', last: '2.5' })).toEqual(expected)
  })

  it('reads what the address says', () => {
    expect(capabilityState({ required: '1.67', confidence: '0.99', last: '30' })).toMatchObject({
      required: 1.67,
      confidence: 0.99,
      last: 30,
    })
  })
})
