import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { spreadLabels } from '../../../src/figures/spread-labels.ts'

describe('labels on one line', () => {
  it('stay where they belong when there is room', () => {
    expect(spreadLabels([10, 50, 90], 14, 0, 100)).toEqual([10, 50, 90])
  })

  it('stand evenly about their common middle when there is not', () => {
    expect(spreadLabels([50, 52], 14, 0, 100)).toEqual([44, 58])
  })

  it('keep the order that they were given in apart from where they stand', () => {
    const [high, low] = spreadLabels([60, 40], 30, 0, 100) as [number, number]
    expect(high).toBeGreaterThan(low)
  })

  it('are a gap apart and inside the bounds whenever they fit', () => {
    fc.assert(
      fc.property(fc.array(fc.double({ min: 0, max: 200, noNaN: true }), { maxLength: 8 }), (wanted) => {
        const placed = [...spreadLabels(wanted, 14, 0, 200)].sort((a, b) => a - b)
        for (const [i, y] of placed.entries()) {
          expect(y).toBeGreaterThanOrEqual(-1e-9)
          expect(y).toBeLessThanOrEqual(200 + 1e-9)
          if (i > 0) expect(y - (placed[i - 1] as number)).toBeGreaterThanOrEqual(14 - 1e-9)
        }
      }),
    )
  })
})
