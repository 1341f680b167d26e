import fc from 'fast-check'
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

  it('are the spans that overlap in time, whatever the signals of a panel and side', () => {
    const some = fc.record({
      panel: fc.constantFrom<Signal['panel']>('location', 'spread'),
      side: fc.constantFrom<Signal['side']>('above', 'below'),
      first: fc.nat(60),
      length: fc.integer({ min: 1, max: 9 }),
    })
    fc.assert(
      fc.property(fc.array(some, { maxLength: 40 }), (drawn) => {
        const signals = drawn
          .toSorted((a, b) => a.first - b.first)
          .map(({ panel, side, first, length }) => ({
            ...signal(
              'eight-on-one-side',
              Array.from({ length }, (_, i) => first + i),
              side,
            ),
            panel,
          }))
        const stretches = stretchesOf(signals)
        expect(stretches.flatMap((stretch) => stretch.signals)).toHaveLength(signals.length)
        for (const { signals: own, first, last } of stretches) {
          const covered = new Set(own.flatMap(({ points }) => points))
          expect([...covered].sort((a, b) => a - b)).toEqual(
            Array.from({ length: last - first + 1 }, (_, i) => first + i),
          )
        }
        for (const [i, one] of stretches.entries()) {
          for (const other of stretches.slice(i + 1)) {
            if (one.lead.panel !== other.lead.panel || one.lead.side !== other.lead.side) continue
            expect(one.last < other.first || other.last < one.first).toBe(true)
          }
        }
      }),
    )
  })
})
