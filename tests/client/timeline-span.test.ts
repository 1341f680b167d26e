import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import {
  panned,
  redrawInterval,
  serves,
  shiftTo,
  spanIn,
  wholeBuilds,
  zoomed,
} from '../../client/data/timeline-span.ts'

const names = Array.from({ length: 100 }, (_, i) => `B${i}`)

describe('the builds in view', () => {
  it('are those between two that the address names', () => {
    expect(spanIn({ from: 'B10', to: 'B29' }, names)).toEqual([10, 29])
  })

  it('are the last so many where it names none, or none that are there', () => {
    expect(spanIn({}, names)).toEqual([40, 99])
    expect(spanIn({ builds: 'all' }, names)).toEqual([0, 99])
    expect(spanIn({ from: 'B29', to: 'B10' }, names)).toEqual([40, 99])
    expect(spanIn({ from: 'gone', to: 'B10' }, names)).toEqual([40, 99])
  })

  it('come closer about the build pointed at', () => {
    const [from, to] = zoomed([0, 99], 100, 0.5, 20)
    expect(to - from + 1).toBe(50)
    // The build's middle keeps its place in the figure: 20.5 of 100 before and after.
    expect((20.5 - from) / 50).toBeCloseTo(20.5 / 100, 12)
  })

  it('stop at the ends of the record, and at eight builds', () => {
    expect(panned([10, 29], 100, -50)).toEqual([0, 19])
    expect(panned([10, 29], 100, 500)).toEqual([80, 99])
    expect(zoomed([10, 29], 100, Number.POSITIVE_INFINITY, 15)).toEqual([0, 99])
    const [from, to] = zoomed([10, 29], 100, 0.001, 15)
    expect(to - from + 1).toBeCloseTo(8, 9)
    expect(zoomed([0, 2], 3, 0.1, 1)).toEqual([0, 2])
  })

  it('are always builds of the record', () => {
    const move = fc.record({
      factor: fc.double({ min: 0.1, max: 10, noNaN: true }),
      by: fc.double({ min: -200, max: 200, noNaN: true }),
    })
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 300 }), fc.array(move, { maxLength: 8 }), (total, moves) => {
        let span: readonly [number, number] = [0, total - 1]
        for (const { factor, by } of moves) {
          span = panned(zoomed(span, total, factor, (span[0] + span[1]) / 2), total, by)
          const [from, to] = wholeBuilds(span)
          expect(from).toBeGreaterThanOrEqual(0)
          expect(to).toBeLessThanOrEqual(total - 1)
          expect(to).toBeGreaterThanOrEqual(from)
        }
      }),
    )
  })
})

describe('a drawing that is moved', () => {
  const spans = fc
    .tuple(fc.double({ min: 0, max: 5000, noNaN: true }), fc.double({ min: 1, max: 5000, noNaN: true }))
    .map(([from, count]): readonly [number, number] => [from, from + count - 1])

  it('has every build where a drawing of the other span has it', () => {
    fc.assert(
      fc.property(spans, spans, fc.double({ min: 0, max: 1, noNaN: true }), (drawn, span, share) => {
        const { by, stretch } = shiftTo(drawn, span)
        // In widths of the figure: a place of the drawing, and that of the same build on the scale of the other span.
        const build = drawn[0] + share * (drawn[1] - drawn[0] + 1)
        const wanted = (build - span[0]) / (span[1] - span[0] + 1)
        expect(by + stretch * share).toBeCloseTo(wanted, 6)
      }),
    )
  })

  it('serves for spans near its own, not for those far off or far closer', () => {
    expect(serves([100, 199], [100, 199])).toBe(true)
    expect(serves([100, 199], [140, 239])).toBe(true)
    expect(serves([100, 199], [400, 499])).toBe(false)
    expect(serves([100, 199], [140, 147])).toBe(false)
    expect(serves([140, 147], [100, 199])).toBe(false)
  })

  it('is drawn anew twice a second, and less often where that holds the frames up', () => {
    expect(redrawInterval(20)).toBe(500)
    expect(redrawInterval(100)).toBe(800)
    expect(redrawInterval(5000)).toBe(1500)
  })
})
