import { describe, expect, it } from 'vitest'
import { cellWords } from '../../client/words/cell-words.ts'
import type { OverviewRow } from '../../src/overview/overview.ts'
import { CHARACTERISTICS, cellsOf, driftFixture, MOVED_AT } from './fixtures.ts'

const view = driftFixture()
const row = view.overview.rows.find(({ characteristic }) => characteristic.designator === '9') as OverviewRow

describe('what a cell of the strip says', () => {
  // Individuals of build means: centre and sigma from the first 25 of them, average moving range over d2 = 1.128 (ASTM
  // E2587), worked out here from the values.
  it('the distance of the mean from the centre line in standard errors', () => {
    const characteristic = CHARACTERISTICS.find(({ designator }) => designator === '9')
    if (characteristic === undefined) throw new Error('no characteristic 9')
    const means = cellsOf(characteristic, 60).map(({ mean }) => mean)
    const base = means.slice(0, 25)
    const centre = base.reduce((sum, mean) => sum + mean, 0) / 25
    const steps = base.slice(1).map((mean, i) => Math.abs(mean - (base[i] as number)))
    const sigma = steps.reduce((sum, step) => sum + step, 0) / 24 / 1.1284
    const at = MOVED_AT + 8
    const distance = ((means[at] as number) - centre) / sigma
    const words = cellWords(view, row, at)
    expect(row.form).toBe('three-way')
    expect(words).toMatch(
      new RegExp(
        `^9 step, build ${view.builds[at]?.name}: ${Math.abs(distance).toFixed(1)} standard errors below the centre line; `,
      ),
    )
    expect(words).toContain(` to ${view.builds.at(-1)?.name})`)
  })

  it('no signal where there is none, and nothing of a build that was not measured', () => {
    const quiet = { ...row, signals: [], leftOut: [3], deviations: [null, 0.01, -2, null] }
    const name = (i: number) => view.builds[i]?.name
    expect(cellWords(view, quiet, 0)).toBe(`9 step, build ${name(0)}: no mean to judge`)
    expect(cellWords(view, quiet, 1)).toBe(`9 step, build ${name(1)}: on the centre line`)
    expect(cellWords(view, quiet, 2)).toBe(
      `9 step, build ${name(2)}: 2.0 standard errors below the centre line`,
    )
    expect(cellWords(view, quiet, 3)).toBe(`9 step, build ${name(3)}: left out`)
  })
})
