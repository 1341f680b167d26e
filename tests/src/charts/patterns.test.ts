import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { patternBreaches } from '../../../src/charts/patterns.ts'
import { OPTIONAL_TESTS, type PatternTest } from '../../../src/charts/tests.ts'

const test = (id: PatternTest['id']) => OPTIONAL_TESTS.find((candidate) => candidate.id === id) as PatternTest
const positions = (z: number[], id: PatternTest['id']) =>
  patternBreaches(z, test(id)).map((breach) => breach.points)

describe('the optional tests, as L. S. Nelson, Journal of Quality Technology 16 (1984), 237–239, states them', () => {
  it('six points in a row steadily rising or falling', () => {
    expect(patternBreaches([0, 1, 2, 3, 4, 5, 4], test('six-steadily'))).toEqual([
      { side: 'above', points: [0, 1, 2, 3, 4, 5] },
    ])
    expect(patternBreaches([9, 5, 4, 3, 2, 1, 0], test('six-steadily'))[0]?.side).toBe('below')
    expect(positions([0, 1, 2, 3, 4], 'six-steadily')).toEqual([])
    expect(positions([0, 1, 2, 2, 3, 4, 5], 'six-steadily')).toEqual([])
  })

  it('fourteen points in a row up and down by turns', () => {
    const turns = Array.from({ length: 14 }, (_, i) => (i % 2 === 0 ? 0.1 : -0.1) * (i + 1))
    expect(positions(turns, 'fourteen-alternating')).toHaveLength(1)
    expect(positions(turns.slice(1), 'fourteen-alternating')).toEqual([])
  })

  it('fifteen points in a row within one sigma', () => {
    expect(positions(new Array(15).fill(0.9), 'fifteen-near-the-centre')).toHaveLength(1)
    expect(positions([...new Array(14).fill(0.9), 1], 'fifteen-near-the-centre')).toEqual([])
  })

  it('eight points in a row with none within one sigma, on both sides', () => {
    expect(positions([1.1, -1.1, 1.2, -1.3, 1.1, 1.1, -2, -1.5], 'eight-away-from-the-centre')).toHaveLength(
      1,
    )
    expect(positions([1.1, -1.1, 1.2, -1, 1.1, 1.1, -2, -1.5], 'eight-away-from-the-centre')).toEqual([])
  })
})

/** The definition word for word, on a stretch of points. */
function keeps(z: readonly number[], { pattern, line }: PatternTest): boolean {
  const steps = z.slice(1).map((value, i) => Math.sign(value - (z[i] as number)))
  if (pattern === 'near') return z.every((value) => Math.abs(value) < line)
  if (pattern === 'away') return z.every((value) => Math.abs(value) > line)
  if (steps.includes(0)) return false
  if (pattern === 'steady') return steps.every((step) => step === steps[0])
  return steps.every((step, i) => i === 0 || step === -(steps[i - 1] as number))
}

describe('properties', () => {
  const patterns = OPTIONAL_TESTS.filter((candidate): candidate is PatternTest => 'pattern' in candidate)

  it.each(patterns)('$id marks just the points of stretches that keep the pattern', (candidate) => {
    // A shorter run, so that random series hold many; coarse values, so that ties occur.
    const short = { ...candidate, length: 4 }
    const series = fc.array(
      fc.integer({ min: -6, max: 6 }).map((value) => value / 3),
      { maxLength: 40 },
    )
    fc.assert(
      fc.property(series, (z) => {
        const marked = new Set(patternBreaches(z, short).flatMap((breach) => breach.points))
        const expected = new Set<number>()
        for (let i = 0; i + 4 <= z.length; i++) {
          if (keeps(z.slice(i, i + 4), short)) for (let j = i; j < i + 4; j++) expected.add(j)
        }
        expect([...marked].sort()).toEqual([...expected].sort())
      }),
    )
  })
})
