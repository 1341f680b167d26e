import { describe, expect, it } from 'vitest'
import { momentsOf } from '../../../src/description/moments.ts'
import type { FurnaceLoad } from '../../../src/domain/build.ts'
import { buildConditions } from '../../../src/events/build-conditions.ts'
import { alternatingValues, conditionTracks, shareOf } from '../../../src/events/condition-track.ts'
import { buildRecord } from './synthetic.ts'

const load = (id: number, furnace: string): FurnaceLoad => ({
  ...{ id, name: `L${id}`, sinteredAt: null, furnace, profile: null, atmosphere: null, conditions: {} },
})
const cell = (buildId: number, furnaceLoadId: number | null, n: number) => ({
  ...momentsOf(Array.from({ length: n }, (_, i) => 5 + i)),
  ...{ characteristicId: 1, buildId, furnaceLoadId, stage: 'sintered' as const },
})

describe('furnace loads of a build', () => {
  const builds = [buildRecord(0).build, buildRecord(1).build, buildRecord(2).build]
  const found = buildConditions(
    builds,
    [load(1, 'F1'), load(2, 'F2')],
    [cell(1, 1, 3), cell(1, 2, 1), cell(2, 2, 4), cell(2, 9, 1), cell(3, null, 2)],
    new Map([[2, ['G1']]]),
  )

  it('share out its values; unknown loads are passed over', () => {
    expect(found.map(({ loads }) => loads.map((item) => [item.load.furnace, item.share]))).toEqual([
      [
        ['F1', 0.75],
        ['F2', 0.25],
      ],
      [['F2', 1]],
      [],
    ])
    expect(found.map(({ gauges }) => gauges)).toEqual([[], ['G1'], []])
  })

  it('are read as a condition of their own, by furnace and by load', () => {
    const tracks = conditionTracks(found)
    const furnace = tracks.find(({ condition }) => condition === 'furnace')
    expect(furnace?.labels).toEqual(['F1 + F2', 'F2', null])
    expect(furnace && [...shareOf(furnace, 'F2')]).toEqual([0.25, 1, 0])
    expect(tracks.map(({ condition }) => condition)).toContain('furnace load')
    expect(tracks.map(({ condition }) => condition)).not.toContain('furnace profile')
  })
})

describe('conditions', () => {
  const builds = Array.from({ length: 40 }, (_, i) =>
    buildRecord(i, {
      powderLot: i < 20 ? 'A' : 'B',
      powderReuse: i % 9,
      printer: i % 3 === 0 ? '2' : '1',
      conditions: { humidity: String(30 + (i % 11)), operator: i % 2 === 0 ? 'ER' : 'TS' },
    }),
  )
  const tracks = conditionTracks(builds)

  it('are quantities where they are numbers of many values, names otherwise, scale factors by their steps', () => {
    const quantities = tracks.filter(({ numbers }) => numbers !== null).map(({ condition }) => condition)
    expect(quantities).toEqual(['powder reuse', 'humidity'])
  })

  it('that come and go are those that a change can be confined to; one that came and stayed is not', () => {
    expect(alternatingValues(tracks).map(({ condition, value }) => `${condition} ${value}`)).toEqual([
      'printer 2',
      'printer 1',
      'operator ER',
      'operator TS',
    ])
  })
})
