import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { likenessOrder } from '../../../src/overview/likeness.ts'

const a = [1, -2, 0.5, 3, -1, 0.2]
const b = [-1, 0.3, 2, -0.5, 1.5, -2]

describe('rows by likeness', () => {
  it('stand beside those that move with them', () => {
    const like = (row: readonly number[], shift: number) => row.map((value, i) => value + shift * (i % 2))
    const order = likenessOrder([a, b, like(a, 0.1), like(b, 0.1), like(a, 0.3)])
    const groups = order.map((i) => (i % 2 === 0 ? 'a' : 'b')).join('')
    expect(['aaabb', 'bbaaa']).toContain(groups)
    // The two that are nearest stand beside one another.
    expect(Math.abs(order.indexOf(0) - order.indexOf(2))).toBe(1)
  })

  it('that move against one another stand farthest apart', () => {
    const against = a.map((value) => -value)
    const order = likenessOrder([a, against, b, a.map((value) => 2 * value)])
    expect(Math.abs(order.indexOf(0) - order.indexOf(3))).toBe(1)
    expect(Math.abs(order.indexOf(0) - order.indexOf(1))).toBeGreaterThan(1)
  })

  it('follow a known order along which neighbours are most alike', () => {
    // Waves, each a step later than the last: correlations fall with the distance in the list.
    const wave = (k: number) => Array.from({ length: 80 }, (_, i) => Math.sin((i - 3 * k) / 12))
    const shuffled = [2, 0, 3, 1]
    const order = likenessOrder(shuffled.map(wave)).map((i) => shuffled[i] as number)
    expect([order, [...order].reverse()]).toContainEqual([0, 1, 2, 3])
  })

  it('with gaps are compared over the builds that both have', () => {
    const gaps = a.map((value, i) => (i === 2 ? null : value))
    const order = likenessOrder([gaps, b, a])
    expect(Math.abs(order.indexOf(0) - order.indexOf(2))).toBe(1)
    expect(
      likenessOrder([
        [null, null],
        [1, 2],
        [2, 2],
      ]),
    ).toHaveLength(3)
  })

  it('are all there, each once', () => {
    const row = fc.array(fc.option(fc.double({ min: -5, max: 5, noNaN: true })), {
      minLength: 8,
      maxLength: 8,
    })
    fc.assert(
      fc.property(fc.array(row, { maxLength: 12 }), (rows) => {
        const order = likenessOrder(rows)
        expect([...order].sort((x, y) => x - y)).toEqual(rows.map((_, i) => i))
      }),
    )
  })
})
