import { describe, expect, it } from 'vitest'
import { buildChart } from '../../../src/charts/chart.ts'
import { DEFAULT_STUDY } from '../../../src/charts/study.ts'
import { momentsOf } from '../../../src/description/moments.ts'
import { plain } from '../../../src/words/sentence.ts'
import { shiftSentence, unmovedSentence } from '../../../src/words/shift-words.ts'
import { CHARACTERISTICS } from '../../client/fixtures.ts'

const [characteristic] = CHARACTERISTICS
if (characteristic === undefined) throw new Error('no characteristic')
const shift = { value: -0.083, lower: -0.107, upper: -0.059 }

describe('a shift in words', () => {
  it('gives the middle and half the interval, in the unit', () => {
    const words = { kind: 'level', from: '0441', to: '0459', shift, confinedTo: null } as const
    expect(plain(shiftSentence(characteristic, words))).toBe(
      '1 length overall comes out small since build 0441, by 0.0830 ± 0.0240 mm.',
    )
  })

  it('of a drift names the build that it has come to, and whose parts show it', () => {
    const confinedTo = { condition: 'furnace', value: 'F2' }
    const words = { kind: 'drift', from: '0434', to: '0459', shift, confinedTo } as const
    expect(plain(shiftSentence(characteristic, words))).toBe(
      '1 length overall comes out smaller and smaller from furnace F2 since build 0434, by 0.0830 ± 0.0240 mm at build 0459.',
    )
  })
})

describe('what has not moved', () => {
  const chartOf = (values: readonly (readonly number[])[]) => {
    const builds = values.map((_, i) => ({ id: i + 1, name: `b${i + 1}` }))
    const cells = values.map((own, i) => ({
      ...momentsOf(own),
      characteristicId: 1,
      buildId: i + 1,
      furnaceLoadId: null,
      stage: 'sintered' as const,
    }))
    return buildChart(DEFAULT_STUDY, cells, builds)
  }
  const said = (values: readonly (readonly number[])[]) =>
    plain(unmovedSentence(characteristic, chartOf(values)))

  it('is steady where its chart has limits and no signal, and builds enough to tell', () => {
    const own = [
      [42.01, 42.03],
      [42.02, 42.0],
      [42.0, 42.03],
    ]
    expect(said(own)).toBe(
      '1 length overall shows no signal in three builds, too few to tell whether it moved.',
    )
    expect(said([...own, ...own, ...own, ...own])).toBe('1 length overall is steady.')
  })

  it('is not called steady where nothing scatters, or where there is one value', () => {
    expect(
      said([
        [42, 42],
        [42, 42],
        [42, 42],
      ]),
    ).toBe(
      '1 length overall has no limits yet: its values do not scatter, and a gauge that reads finer would tell more.',
    )
    expect(said([[42]])).toBe('1 length overall has no limits yet: a single value has no scatter.')
  })
})
