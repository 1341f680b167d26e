import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { studentUpperQuantile } from '../../../src/distributions/student.ts'
import { ArgumentError } from '../../../src/errors.ts'
import { type GroupSum, groupEffects } from '../../../src/variation/group-effects.ts'

interface ReferenceSet {
  readonly block: number[]
  readonly group: number[]
  readonly value: number[]
  readonly effect: number[]
  readonly error: number[]
  readonly sigma: number
  readonly df: number
}

/** Linear models of R 4.2.2, see group-effects.R. */
const { sets } = JSON.parse(
  readFileSync(new URL('../../reference/variation/group-effects.json', import.meta.url), 'utf8'),
) as { sets: ReferenceSet[] }

/** Values summed up by block and group, about an origin of each block. */
function summed(
  { block, group, value }: Pick<ReferenceSet, 'block' | 'group' | 'value'>,
  origin = 12.4,
): GroupSum[] {
  const cells = new Map<string, { block: number; group: number; n: number; sum: number; squares: number }>()
  for (const [i, x] of value.entries()) {
    const [b, g] = [block[i] as number, group[i] as number]
    const cell = cells.get(`${b} ${g}`) ?? { block: b, group: g, n: 0, sum: 0, squares: 0 }
    const d = x - origin - b / 100
    cell.n++
    cell.sum += d
    cell.squares += d * d
    cells.set(`${b} ${g}`, cell)
  }
  return [...cells.values()]
}

describe('effects of groups', () => {
  it.each(sets.map((set, i) => [i, set] as const))('are those of a linear model in R, set %i', (_, set) => {
    const groups = set.effect.length
    const found = groupEffects(summed(set), groups, 0.05)
    expect(found?.df).toBe(set.df)
    expect(found?.sigma).toBeCloseTo(set.sigma, 12)
    const t = studentUpperQuantile(0.05 / groups / 2, set.df)
    for (const [g, effect] of (found?.effects ?? []).entries()) {
      expect(effect?.value).toBeCloseTo(set.effect[g] as number, 12)
      expect(((effect?.upper ?? 0) - (effect?.lower ?? 0)) / 2).toBeCloseTo(t * (set.error[g] as number), 12)
    }
  })

  it('of groups that no block links are told apart from one another in each set alone', () => {
    const value = [0, 0.1, 1, 1.1, 5, 5.1, 7, 7.1]
    const found = groupEffects(
      summed({ block: [0, 0, 0, 0, 1, 1, 1, 1], group: [0, 0, 1, 1, 2, 2, 3, 3], value }, 0),
      4,
      0.05,
    )
    expect(found?.effects.map((effect) => effect?.value)).toEqual(
      [-0.5, 0.5, -1, 1].map((each) => expect.closeTo(each, 12)),
    )
  })

  it('are null for a group that stands alone, and for one without values', () => {
    const found = groupEffects(
      summed({ block: [0, 0, 0, 1, 1], group: [0, 1, 0, 2, 2], value: [1, 2, 1.1, 3, 3.2] }),
      4,
      0.05,
    )
    expect(found?.effects.map((effect) => effect === null)).toEqual([false, false, true, true])
  })

  it('are null altogether where nothing is left to tell scatter from', () => {
    expect(groupEffects([], 0, 0.05)).toBeNull()
    expect(groupEffects(summed({ block: [0, 0], group: [0, 1], value: [1, 2] }), 2, 0.05)).toBeNull()
  })

  it('refuse a group that is not there, and a level that is none', () => {
    const sum = { block: 0, group: 2, n: 1, sum: 0, squares: 0 }
    expect(() => groupEffects([sum], 2, 0.05)).toThrow(ArgumentError)
    expect(() => groupEffects([], 2, 1)).toThrow(ArgumentError)
  })

  it('do not change with what moves a whole block, and add to zero', () => {
    const item = fc.record({
      block: fc.integer({ min: 0, max: 3 }),
      group: fc.integer({ min: 0, max: 3 }),
      value: fc.double({ min: -1, max: 1, noNaN: true }),
    })
    fc.assert(
      fc.property(
        fc.array(item, { minLength: 25, maxLength: 40 }),
        fc.double({ min: -5, max: 5, noNaN: true }),
        (items, shift) => {
          const of = (move: number) =>
            groupEffects(
              summed({
                block: items.map((each) => each.block),
                group: items.map((each) => each.group),
                value: items.map((each) => each.value + (each.block === 1 ? move : 0)),
              }),
              4,
              0.05,
            )
          const [a, b] = [of(0), of(shift)]
          let sum = 0
          for (const [g, effect] of (a?.effects ?? []).entries()) {
            expect(b?.effects[g]?.value ?? 0).toBeCloseTo(effect?.value ?? 0, 9)
            sum += effect?.value ?? 0
          }
          expect(sum).toBeCloseTo(0, 9)
        },
      ),
    )
  })
})
