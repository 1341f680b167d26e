import { describe, expect, it } from 'vitest'
import { provisionalChart } from '../../client/data/provisional.ts'
import type { ChartGround } from '../../server/contract/typing.ts'
import { DEFAULT_STUDY } from '../../src/charts/study.ts'
import { momentsOf } from '../../src/description/moments.ts'

const at = 1_795_600_000
const build = (id: number) => ({ id, name: `B${id}` })
const cell = (buildId: number, values: readonly number[]) => ({
  characteristicId: 1,
  buildId,
  furnaceLoadId: null,
  stage: 'sintered' as const,
  ...momentsOf(values),
})
const ground = (repeats: 'every' | 'first' | 'last' | 'mean') =>
  ({
    study: { ...DEFAULT_STUDY, repeats },
    cells: [cell(1, [10, 10.2, 10.1]), cell(2, [9.9, 10.3])],
    builds: [build(1), build(2)],
  }) as unknown as ChartGround
/** Of build B2, S1 has 9.9 on record and S2 10.3. */
const earlier = new Map([
  ['S1', [{ value: 9.9, replicate: 1, measuredAt: at - 60 }]],
  ['S2', [{ value: 10.3, replicate: 1, measuredAt: at - 60 }]],
])
const typed = [
  { serial: 'S1', value: 10.5, measuredAt: at },
  { serial: 'S3', value: 10, measuredAt: at },
]

describe('the point of a build that is being typed', () => {
  // By hand: S1 9.9 and 10.5, S2 10.3, S3 10.
  for (const [repeats, n, mean] of [
    ['every', 4, (9.9 + 10.5 + 10.3 + 10) / 4],
    ['first', 3, (9.9 + 10.3 + 10) / 3],
    ['last', 3, (10.5 + 10.3 + 10) / 3],
    ['mean', 3, (10.2 + 10.3 + 10) / 3],
  ] as const) {
    it(`counts ${repeats} of the measurements of a part, as the study says`, () => {
      const { chart } = provisionalChart(ground(repeats), 'B2', typed, earlier)
      expect(chart.subgroups.at(-1)).toMatchObject({ label: 'B2', n })
      expect(chart.subgroups.at(-1)?.mean).toBeCloseTo(mean, 12)
    })
  }

  it('is a new one at the end of the timeline, where the build is', () => {
    const drawn = provisionalChart(ground('every'), 'B3', typed)
    expect(drawn.buildNames).toEqual(['B1', 'B2', 'B3'])
    expect(drawn.chart.subgroups.at(-1)).toMatchObject({ label: 'B3', n: 2, mean: 10.25 })
    expect(provisionalChart(ground('every'), 'B3', []).buildNames).toEqual(['B1', 'B2'])
  })
})
