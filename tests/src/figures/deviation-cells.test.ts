import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { buildScale } from '../../../src/figures/build-scale.ts'
import { cellPaths, LEVELS, level } from '../../../src/figures/deviation-cells.ts'

describe('colour steps', () => {
  it('are half a standard error wide, the middle one about zero', () => {
    expect(level(0)).toBe(0)
    expect(level(0.24)).toBe(0)
    expect(level(0.26)).toBe(1)
    expect(level(-1)).toBe(-2)
    expect(level(3.2)).toBe(6)
  })

  it('end at four standard errors', () => {
    expect(level(4)).toBe(LEVELS)
    expect(level(40)).toBe(LEVELS)
    expect(level(-40)).toBe(-LEVELS)
  })

  it('are the same on both sides and never fall', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 10, noNaN: true }), (z) => {
        expect(Math.abs(level(-z) + level(z))).toBeLessThanOrEqual(1)
        expect(level(z + 0.5)).toBeGreaterThanOrEqual(level(z))
      }),
    )
  })
})

describe('cells of a row', () => {
  const scale = buildScale(0, 4, 100, 150)

  it('are one path a step, one cell a build', () => {
    const paths = cellPaths([-4, -4, 0.1, 2, null], scale, 20, 18)
    expect(paths.levels.map((each) => each.level)).toEqual([-8, 0, 4])
    expect(paths.levels[0]?.d.match(/M/g)).toHaveLength(2)
    expect(paths.levels[0]?.d.startsWith('M100 20h9')).toBe(true)
    expect(paths.empty).toBe('M140 20h9v18h-9z')
  })

  it('carry a notch on the side of a large deviation', () => {
    const [, over] = cellPaths([3.1, 0, 0, 0, 0], scale, 20, 18).notches.match(/M\S+ (\d+)h/) ?? []
    const [, under] = cellPaths([-3.1, 0, 0, 0, 0], scale, 20, 18).notches.match(/M\S+ (\d+)h/) ?? []
    expect(Number(over)).toBe(20)
    expect(Number(under)).toBe(35)
    expect(cellPaths([2.9, -2.9, 0, 0, 0], scale, 20, 18).notches).toBe('')
  })
})
