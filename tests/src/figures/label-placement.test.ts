import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { placeLabels } from '../../../src/figures/label-placement.ts'

const frame = { x0: 0, y0: 0, x1: 500, y1: 400 }

describe('labels beside points', () => {
  it('stand to the right of a point that is alone', () => {
    const [label] = placeLabels([{ x: 100, y: 100 }], [14], 13, 7, frame)
    expect(label?.x).toBe(108)
    expect(label?.apart).toBe(false)
  })

  it('turn inwards at the edge', () => {
    const [label] = placeLabels([{ x: 495, y: 100 }], [14], 13, 7, frame)
    expect(label?.x).toBeLessThan(495)
  })

  it('do not cover each other where there is room around', () => {
    const spot = fc.record({ x: fc.integer({ min: 150, max: 350 }), y: fc.integer({ min: 100, max: 300 }) })
    fc.assert(
      fc.property(fc.array(spot, { maxLength: 6 }), (points) => {
        const labels = placeLabels(
          points,
          points.map(() => 14),
          13,
          7,
          frame,
        )
        for (const [i, a] of labels.entries()) {
          for (const b of labels.slice(i + 1)) {
            expect(Math.abs(a.x - b.x) >= 14 - 1e-9 || Math.abs(a.y - b.y) >= 13 - 1e-9).toBe(true)
          }
        }
      }),
    )
  })
})
