import { describe, expect, it } from 'vitest'
import { designEffect, groupValues, independentValues } from '../../../src/capability/design-effect.ts'
import { momentsOf } from '../../../src/description/moments.ts'
import { draws } from './draws.ts'

describe('values by their labels', () => {
  it('keep their order and that of first appearance', () => {
    const groups = groupValues([1, 2, 3, 4, 5], ['b', 'a', 'b', 'c', 'a'])
    expect(groups.map((group) => [...group])).toEqual([[1, 3], [2, 5], [4]])
  })
})

describe('design effect', () => {
  it('follows from the mean squares: 1, 3 and 5, 7 have MS 16 and 2, correlation 7 / 9', () => {
    const groups = [
      [1, 3],
      [5, 7],
    ]
    expect(designEffect(groups, 1)).toBeCloseTo(1 + 7 / 9, 12)
    expect(designEffect(groups, 3)).toBeCloseTo(1 + (7 / 9) ** 3, 12)
    expect(independentValues(groups.map(momentsOf))).toBeCloseTo(4 / (1 + 7 / 9), 12)
    expect(independentValues([momentsOf([1, 2, 3])])).toBe(3)
  })

  it('is 1 where builds are alike or cannot be compared', () => {
    expect(designEffect([[1, 2, 3]], 1)).toBe(1)
    expect(designEffect([[1], [2], [3]], 1)).toBe(1)
    expect(
      designEffect(
        [
          [1, 3],
          [3, 1],
        ],
        1,
      ),
    ).toBe(1)
  })

  it.each([1, 2, 3])('predicts the variance of the mean of Hermite polynomials of order %i', (order) => {
    const random = draws(order)
    const hermite = (z: number) => (order === 1 ? z : order === 2 ? z * z - 1 : z ** 3 - 3 * z)
    // The polynomials have variance 1, 2 and 6 for independent values.
    const factorial = [1, 1, 2, 6][order] as number
    const repeats = 4000
    let squares = 0
    let predicted = 0
    for (let i = 0; i < repeats; i++) {
      const groups = Array.from({ length: 20 }, () => {
        const level = Math.sqrt(0.6) * random.normal()
        return Array.from({ length: 10 }, () => level + Math.sqrt(0.4) * random.normal())
      })
      const mean = groups.flat().reduce((sum, z) => sum + hermite(z), 0) / 200
      squares += (mean * mean) / repeats
      predicted += designEffect(groups, order) / repeats
    }
    const observed = (squares * 200) / factorial
    // The variance of a variance of heavy-tailed means, and the bias of an estimated power: within 12 %.
    expect(Math.abs(predicted / observed - 1)).toBeLessThan(0.12)
  })
})
