import { describe, expect, it } from 'vitest'
import { laneModel, writtenLanes } from '../../../src/figures/lane-model.ts'
import { MOVED_AT, timeline } from '../../client/fixtures.ts'

const builds = timeline(60)
const lane = (name: string, from = 0, to = 59) =>
  laneModel(builds, from, to).lanes.find((each) => each.name === name)

describe('lanes', () => {
  it('gather neighbouring builds under the same condition', () => {
    expect(lane('powder lot')?.runs).toEqual([
      { from: 0, to: 18, text: 'K6' },
      { from: 19, to: MOVED_AT - 1, text: 'K7' },
      { from: MOVED_AT, to: 59, text: 'K8' },
    ])
  })

  it('begin and end with the builds in view', () => {
    expect(lane('powder lot', 30, 50)?.runs).toEqual([
      { from: 30, to: MOVED_AT - 1, text: 'K7' },
      { from: MOVED_AT, to: 50, text: 'K8' },
    ])
  })

  it('show reuse as bars', () => {
    expect(lane('powder reuse', 0, 9)?.bars?.map((bar) => bar.value)).toEqual([0, 1, 2, 3, 4, 5, 6, 7, 0, 1])
  })

  it('give each value a level where it changes with every build', () => {
    expect(lane('build box')?.levels).toEqual(['BX-1', 'BX-2', 'BX-3'])
    expect(lane('powder lot')?.levels).toBeNull()
  })

  it('put what held throughout into words', () => {
    expect(laneModel(builds, 0, 59).throughout).toEqual([
      'printer PR-1',
      'gauge CMM-1',
      'scale X 1.1791',
      'scale Y 1.1794',
    ])
  })

  it('leave out what was never recorded, and break a run where one build has no record', () => {
    const gap = builds.map((build, i) => ({ ...build, printer: null, powderLot: i === 5 ? null : 'K6' }))
    const model = laneModel(gap, 0, 9)
    expect(model.lanes.some((each) => each.name === 'printer')).toBe(false)
    expect(model.throughout.some((words) => words.startsWith('printer'))).toBe(false)
    expect(model.lanes.find((each) => each.name === 'powder lot')?.runs).toEqual([
      { from: 0, to: 4, text: 'K6' },
      { from: 6, to: 9, text: 'K6' },
    ])
  })

  it('leave out further conditions that are new with every build', () => {
    const noisy = builds.map((build, i) => ({
      ...build,
      conditions: { layer_time: String(20 + i), binder: i < 30 ? 'A' : 'B' },
    }))
    const names = laneModel(noisy, 0, 59).lanes.map((each) => each.name)
    expect(names).toContain('binder')
    expect(names).not.toContain('layer_time')
  })
})

describe('lanes of what people wrote', () => {
  const note = (from: number, to: number) => ({ from, to, text: `${from} to ${to}` })

  it('lie beside one another where they overlap, and only the first carries the name', () => {
    const lanes = writtenLanes('findings', [note(8, 9), note(0, 4), note(3, 6)], 0, 20)
    expect(lanes.map((lane) => lane.name)).toEqual(['findings', ''])
    expect(lanes.map((lane) => lane.runs.map((run) => run.text))).toEqual([['0 to 4', '8 to 9'], ['3 to 6']])
  })

  it('end at the edges of the view', () => {
    expect(writtenLanes('findings', [note(2, 30), note(40, 50)], 10, 20)[0]?.runs).toEqual([
      { from: 10, to: 20, text: '2 to 30' },
    ])
    expect(writtenLanes('findings', [], 0, 20)).toEqual([])
  })
})
