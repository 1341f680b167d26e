import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { breaches } from '../../../src/charts/signals.ts'
import { WESTERN_ELECTRIC, type ZoneTest } from '../../../src/charts/tests.ts'

const test = (id: ZoneTest['id']) => WESTERN_ELECTRIC.find((candidate) => candidate.id === id) as ZoneTest

describe('the four tests, as the Western Electric handbook (1956), pages 25–28, states them', () => {
  it('one point beyond three sigma signals, one exactly on the line does not', () => {
    expect(breaches([0, 3, 3.001, 0], test('beyond-three-sigma'), 1)).toEqual([[2]])
  })

  it('two of three beyond two sigma on one side signal, the one between may lie anywhere', () => {
    expect(breaches([2.1, -1, 2.2], test('two-of-three'), 1)).toEqual([[0, 2]])
    expect(breaches([2.1, 0, 0, 2.2], test('two-of-three'), 1)).toEqual([])
    expect(breaches([2.1, -2.2], test('two-of-three'), 1)).toEqual([])
  })

  it('four of five beyond one sigma on one side signal', () => {
    expect(breaches([-1.1, -1.2, 0.5, -1.3, -1.4], test('four-of-five'), -1)).toEqual([[0, 1, 3, 4]])
    expect(breaches([-1.1, -1.2, 0.5, 0.5, -1.3, -1.4], test('four-of-five'), -1)).toEqual([])
  })

  it('eight in a row on one side signal, seven do not, and a point on the centre line ends a run', () => {
    expect(breaches(new Array(8).fill(0.1), test('eight-on-one-side'), 1)).toEqual([[0, 1, 2, 3, 4, 5, 6, 7]])
    expect(breaches(new Array(7).fill(0.1), test('eight-on-one-side'), 1)).toEqual([])
    expect(breaches([0.1, 0.1, 0.1, 0.1, 0, 0.1, 0.1, 0.1, 0.1], test('eight-on-one-side'), 1)).toEqual([])
  })

  it('a run of nineteen is one signal of nineteen points', () => {
    const run = new Array(19).fill(-0.5)
    expect(breaches([1, ...run, 1], test('eight-on-one-side'), -1)).toEqual([run.map((_, i) => i + 1)])
  })

  it('two runs with a point of the other side between are two signals', () => {
    const run = new Array(8).fill(0.5)
    expect(breaches([...run, -0.5, ...run], test('eight-on-one-side'), 1)).toHaveLength(2)
  })
})

/** The definition word for word: every window of `of` points that ends in a breach, joined where they touch. */
function byDefinition(z: readonly number[], { needed, of, beyond }: ZoneTest, sign: 1 | -1): number[][] {
  const isBeyond = (i: number) => sign * (z[i] as number) > beyond
  const groups: Set<number>[] = []
  for (let end = 0; end < z.length; end++) {
    const window: number[] = []
    for (let i = Math.max(0, end - of + 1); i <= end; i++) if (isBeyond(i)) window.push(i)
    if (window.length < needed || !isBeyond(end)) continue
    const last = groups[groups.length - 1]
    if (last !== undefined && Math.max(...last) + 1 >= (window[0] as number))
      for (const i of window) last.add(i)
    else groups.push(new Set(window))
  }
  return groups.map((group) => [...group].sort((a, b) => a - b))
}

const series = fc.array(fc.double({ min: -4, max: 4, noNaN: true }), { maxLength: 60 })

describe('properties', () => {
  it.each(WESTERN_ELECTRIC)('$id finds what its definition finds', (candidate) => {
    fc.assert(
      fc.property(series, fc.constantFrom(1 as const, -1 as const), (z, sign) => {
        expect(breaches(z, candidate, sign)).toEqual(byDefinition(z, candidate, sign))
      }),
    )
  })

  it.each(WESTERN_ELECTRIC)('$id below is $id above of the mirror image', (candidate) => {
    fc.assert(
      fc.property(series, (z) => {
        expect(breaches(z, candidate, -1)).toEqual(
          breaches(
            z.map((value) => -value),
            candidate,
            1,
          ),
        )
      }),
    )
  })
})
