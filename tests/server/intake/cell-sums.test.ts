import fc from 'fast-check'
import { expect, it } from 'vitest'
import { CellSums } from '../../../server/intake/cell-sums.ts'
import { momentsOf } from '../../../src/description/moments.ts'

const value = fc.double({ min: -1000, max: 1000, noNaN: true })

it('gives every cell the moments of all of its values, piece by piece', () => {
  const parts = fc.array(fc.tuple(fc.integer({ min: 1, max: 40 }), fc.array(value, { minLength: 1 })))
  fc.assert(
    fc.property(parts, fc.integer({ min: 1, max: 7 }), (added, size) => {
      const sums = new CellSums()
      const values = new Map<number, number[]>()
      for (const [cell, some] of added) {
        sums.add(cell, momentsOf(some))
        values.set(cell, [...(values.get(cell) ?? []), ...some])
      }
      const pieces = [...sums.pieces(size)]
      expect(pieces.every((piece) => piece.size <= size)).toBe(true)
      const all = new Map(pieces.flatMap((piece) => [...piece]))
      expect([...all.keys()].sort()).toEqual([...values.keys()].sort())
      for (const [cell, own] of values) {
        const expected = momentsOf(own)
        const found = all.get(cell) as typeof expected
        expect(found).toMatchObject({ n: expected.n, min: expected.min, max: expected.max })
        expect(Math.abs(found.mean - expected.mean)).toBeLessThan(1e-10)
        expect(Math.abs(found.m2 - expected.m2)).toBeLessThan(1e-9 * (1 + expected.m2))
      }
    }),
  )
})

it('holds more cells than it first had room for, and none that was deleted', () => {
  const sums = new CellSums()
  for (let cell = 1; cell <= 5000; cell++) sums.add(cell, momentsOf([cell, cell + 1]))
  sums.delete(7)
  sums.delete(9999)
  const all = new Map([...sums.pieces(1000)].flatMap((piece) => [...piece]))
  expect(all.size).toBe(4999)
  expect(all.get(7)).toBeUndefined()
  expect(all.get(5000)).toEqual({ n: 2, mean: 5000.5, m2: 0.5, min: 5000, max: 5001 })
})
