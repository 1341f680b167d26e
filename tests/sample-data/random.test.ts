import { describe, expect, it } from 'vitest'
import { Random, splitmix64 } from '../../sample-data/random.ts'

describe('splitmix64', () => {
  // First outputs for the seed 1234567, as printed with the algorithm in many places; from memory.
  it('gives the published sequence', () => {
    const step = 0x9e3779b97f4a7c15n
    const outputs = [0n, 1n, 2n].map((k) => splitmix64((1234567n + k * step) & 0xffffffffffffffffn))
    expect(outputs).toEqual([6457827717110365317n, 3203168211198807973n, 9817491932198370423n])
  })
})

describe('Random', () => {
  // From the state 1, 2, 3, 4; computed in Python from the published algorithm, arbitrary integers masked to 32 bits.
  it('gives the published sequence of xoshiro128**', () => {
    const random = new Random([1, 2, 3, 4])
    const expected = [11520, 0, 5927040, 70819200, 2031721883, 1637235492, 1287239034, 3734860849]
    expect(expected.map(() => random.next())).toEqual(expected)
  })

  it('draws normal deviates with the tails of the normal distribution', () => {
    const random = Random.stream(1, 'normal')
    const n = 200_000
    const values = Array.from({ length: n }, () => random.normal())
    // Normal distribution function, R's pnorm.
    const table: [number, number][] = [
      [-3, 0.001349898],
      [-2, 0.02275013],
      [-1, 0.1586553],
      [-0.5, 0.3085375],
      [0, 0.5],
      [0.25, 0.5987063],
      [1.5, 0.9331928],
      [2.5, 0.9937903],
      [3, 0.9986501],
    ]
    for (const [z, p] of table) {
      const share = values.filter((value) => value <= z).length / n
      expect(Math.abs(share - p), `at ${z}`).toBeLessThan(4 * Math.sqrt((p * (1 - p)) / n))
    }
    const mean = values.reduce((sum, value) => sum + value, 0) / n
    const square = values.reduce((sum, value) => sum + value * value, 0) / n
    expect(Math.abs(mean)).toBeLessThan(4 / Math.sqrt(n))
    expect(Math.abs(square - 1)).toBeLessThan(4 * Math.sqrt(2 / n))
  })

  it('draws whole numbers evenly, both ends included', () => {
    const random = Random.stream(1, 'integer')
    const counts = [0, 0, 0, 0, 0, 0]
    const n = 60_000
    for (let i = 0; i < n; i++) {
      const drawn = random.integer(0, 5)
      counts[drawn] = (counts[drawn] ?? 0) + 1
    }
    // Chi-square over six cells: 99.9 % point of 5 degrees of freedom, 20.515 (R's qchisq).
    const chiSquare = counts.reduce((sum, count) => sum + (count - n / 6) ** 2 / (n / 6), 0)
    expect(counts).toHaveLength(6)
    expect(chiSquare).toBeLessThan(20.515)
  })

  it('samples without repeating', () => {
    const items = Array.from({ length: 20 }, (_, i) => i)
    const sample = Random.stream(1, 'sample').sample(items, 20)
    expect(sample).not.toEqual(items)
    expect([...sample].sort((a, b) => a - b)).toEqual(items)
  })

  it('gives every name and seed a stream of its own', () => {
    const first = (seed: number, name: string) => Random.stream(seed, name).next()
    expect(first(1, 'a')).toBe(first(1, 'a'))
    expect(new Set([first(1, 'a'), first(1, 'b'), first(2, 'a'), first(2, 'b')]).size).toBe(4)
  })
})
