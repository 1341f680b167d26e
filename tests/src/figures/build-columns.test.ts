import { describe, expect, it } from 'vitest'
import { buildColumns, COLUMN, LEAST_STEP } from '../../../src/figures/build-columns.ts'
import { buildScale } from '../../../src/figures/build-scale.ts'
import { cellPaths } from '../../../src/figures/deviation-cells.ts'

const values = Array.from({ length: 1000 }, (_, i) => (i % 5 === 0 ? null : Math.sin(i)))

describe('columns of builds', () => {
  const scale = buildScale(200, 799, 50, 250)
  const columns = buildColumns(
    values.length,
    (i) => i,
    (i) => values[i],
    scale,
  )

  it('hold least, greatest and mean of the builds that they stand for', () => {
    expect(scale.step).toBeLessThan(LEAST_STEP)
    // 600 builds on 200 pixels: six to a column of two.
    expect(columns).toHaveLength(200 / COLUMN)
    const own = values.slice(200, 206).filter((value) => value !== null)
    expect(columns[0]).toEqual({
      x: 50,
      min: Math.min(...own),
      max: Math.max(...own),
      mean: expect.closeTo(own.reduce((a, b) => a + b, 0) / own.length, 12),
    })
  })

  it('leave nothing out that is in view: the extremes of all are those of the columns', () => {
    const inView = values.slice(200, 800).filter((value) => value !== null)
    expect(Math.max(...columns.map(({ max }) => max))).toBe(Math.max(...inView))
    expect(Math.min(...columns.map(({ min }) => min))).toBe(Math.min(...inView))
  })

  it('are not there where no build has a value', () => {
    expect(
      buildColumns(
        3,
        (i) => i,
        () => null,
        scale,
      ),
    ).toEqual([])
  })

  it('notch a row of the strip where one build is far out, though the mean is not', () => {
    const deviations = Array.from({ length: 600 }, (_, i) => (i === 300 ? 4 : 0))
    const paths = cellPaths(deviations, buildScale(0, 599, 0, 200), 0, 18)
    expect(paths.notches).toContain('v3')
    expect(paths.levels.map(({ level }) => level)).toEqual([0, 1])
  })
})
