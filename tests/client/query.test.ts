import { describe, expect, it } from 'vitest'
import { chartAddress, driftPage, subgroupAddress } from '../../client/data/addresses.ts'
import { capabilityState } from '../../client/data/capability-state.ts'
import {
  chosenRow,
  driftState,
  movedBand,
  neighbourRow,
  windowChoices,
  windowOf,
} from '../../client/data/drift-state.ts'
import { changedQuery } from '../../client/data/query.ts'
import { sortRows } from '../../src/figures/strip-layout.ts'
import { driftFixture, MOVED_AT } from './fixtures.ts'

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

  it('moved between the builds that its change point may lie at, or else at its worst signal', () => {
    const row = chosenRow(view, '9')
    if (row === null) throw new Error('row 9 is needed here')
    const band = movedBand(row)
    expect(band).toMatchObject({ at: MOVED_AT, side: 'under' })
    expect(band?.from).toBeLessThan(MOVED_AT)
    expect(band?.to).toBeGreaterThanOrEqual(MOVED_AT)
    const first = row.worst?.signal.points[0]
    expect(movedBand({ ...row, moved: null })).toEqual({ from: first, to: first, at: first, side: 'under' })
    expect(movedBand({ ...row, moved: null, worst: null })).toBeNull()
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
