import { describe, expect, it } from 'vitest'
import type { Signal } from '../../../src/charts/model.ts'
import { stretchesOf } from '../../../src/charts/stretches.ts'

const signal = (test: Signal['test'], points: number[], side: Signal['side'] = 'below'): Signal => ({
  panel: 'location',
  test,
  side,
  points,
})

describe('stretches', () => {
  it('join what several tests saw at one time on one side, and name it by the longest run', () => {
    const run = signal('eight-on-one-side', [4, 5, 6, 7, 8, 9, 10, 11, 12])
    const point = signal('beyond-three-sigma', [7])
    const zone = signal('four-of-five', [5, 6, 7, 8])
    expect(stretchesOf([run, zone, point])).toEqual([
      { lead: run, signals: [run, zone, point], first: 4, last: 12 },
    ])
  })

  it('name a few points beyond the limits before the zone they also make', () => {
    const points = signal('beyond-three-sigma', [3, 4])
    const zone = signal('two-of-three', [3, 4])
    expect(stretchesOf([zone, points])[0]?.lead).toBe(points)
  })

  it('keep sides, panels and later times apart', () => {
    const below = signal('two-of-three', [1, 2])
    const above = signal('two-of-three', [2, 3], 'above')
    const spread = { ...signal('beyond-three-sigma', [2]), panel: 'spread' as const }
    const later = signal('beyond-three-sigma', [9])
    expect(stretchesOf([below, above, spread, later])).toHaveLength(4)
    expect(stretchesOf([])).toEqual([])
  })
})
