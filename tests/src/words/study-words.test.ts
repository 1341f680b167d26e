import { describe, expect, it } from 'vitest'
import { changeStudy } from '../../../src/charts/change-study.ts'
import { buildChart } from '../../../src/charts/chart.ts'
import { DEFAULT_STUDY, type Study } from '../../../src/charts/study.ts'
import { OPTIONAL_TESTS, WESTERN_ELECTRIC } from '../../../src/charts/tests.ts'
import type { Characteristic } from '../../../src/domain/characteristic.ts'
import { chartGrounds, chartHeadline } from '../../../src/words/chart-words.ts'
import { plain } from '../../../src/words/sentence.ts'
import { changeWords, testsInForce } from '../../../src/words/study-words.ts'
import { cellsOf, timeline } from '../charts/groups.ts'

const name = (build: number) => `04${String(build).padStart(2, '0')}`

describe('what a change did', () => {
  it.each([
    [{ kind: 'open-phase', build: 30 }, 'opened a phase at build 0430'],
    [{ kind: 'join-phase', build: 30 }, 'joined the phase with build 0430 to the one before'],
    [
      { kind: 'choose-baseline', build: 1, span: { from: 5, to: 29 } },
      'chose builds 0405 to 0429 as the baseline',
    ],
    [
      { kind: 'choose-baseline', build: 1, span: null },
      'went back to limits from the first builds of the phase with 0401',
    ],
    [{ kind: 'freeze-limits', build: 1 }, 'froze the limits of the phase with build 0401'],
    [{ kind: 'release-limits', build: 1 }, 'had the limits of the phase with build 0401 computed again'],
    [
      { kind: 'choose-tests', tests: ['beyond-three-sigma', 'six-steadily'] },
      'put two tests in force: one beyond three sigma and six in a row steadily rising or falling',
    ],
    [
      { kind: 'choose-estimators', within: 'average-range', step: 'median' },
      'took sigma from the average range and the median step',
    ],
  ] as const)('%o', (change, words) => {
    expect(changeWords(change, name)).toBe(words)
  })
})

describe('the tests in force', () => {
  it('are named in one breath', () => {
    const four = WESTERN_ELECTRIC.map(({ id }) => id)
    expect(testsInForce(four)).toBe('the four of Western Electric')
    expect(testsInForce([...four, ...OPTIONAL_TESTS.map(({ id }) => id)].reverse())).toBe(
      'the four of Western Electric, nine in a row on one side, six in a row steadily rising or falling, ' +
        'fourteen in a row up and down by turns, fifteen in a row within one sigma and ' +
        'eight in a row with none within one sigma',
    )
    expect(testsInForce(['two-of-three'])).toBe('two of three beyond two sigma')
    expect(testsInForce([])).toBe('no test')
  })
})

describe('the words of a chart', () => {
  const characteristic: Characteristic = {
    id: 1,
    designator: '7',
    name: 'slot width',
    kind: 'length',
    nominal: 5,
    lower: null,
    upper: null,
    unit: 'mm',
    axis: 'X',
  }
  const groups = Array.from({ length: 12 }, (_, i) =>
    i === 8 ? [40, 41, 42] : [i % 3, (i % 3) + 1, (i % 3) + 2],
  )
  const [cells, builds] = [cellsOf(groups), timeline(12)]
  const grounds = (study: Study, answers?: readonly (number | null)[]) =>
    plain(chartGrounds(characteristic, buildChart(study, cells, builds), answers))

  it('say what is left out', () => {
    const whole = { buildId: 9, value: null }
    expect(grounds({ ...DEFAULT_STUDY, exclusions: [whole] })).toContain('One build is left out.')
    const more = [whole, { buildId: 2, value: 9 }, { buildId: 3, value: 9 }]
    expect(grounds({ ...DEFAULT_STUDY, exclusions: more })).toContain(
      'One build and two single values are left out.',
    )
    expect(grounds({ ...DEFAULT_STUDY, exclusions: [whole] })).toContain(
      'Limits from eleven builds, 1 to 12, provisional.',
    )
    const all = builds.map(({ id }) => ({ buildId: id, value: null }))
    const chart = buildChart({ ...DEFAULT_STUDY, exclusions: all }, cells, builds)
    expect(plain(chartHeadline(characteristic, chart, null, []))).toBe('Everything measured is left out.')
  })

  it('say who froze the limits, when and why', () => {
    const ground = { study: DEFAULT_STUDY, cells, builds }
    const signed = { who: 'Ines Quark', at: 1_790_000_000, reason: 'agreed', version: 1 }
    expect(grounds(changeStudy(ground, { kind: 'freeze-limits', build: 1 }, signed))).toMatch(
      /^Limits frozen by Ines Quark on 2026-09-21 \(agreed\), from twelve builds, 1 to 12, provisional\. /,
    )
  })

  it('say which findings answer its signals', () => {
    const { signals } = buildChart(DEFAULT_STUDY, cells, builds)
    expect(signals.length).toBeGreaterThan(1)
    expect(
      grounds(
        DEFAULT_STUDY,
        signals.map(() => 3),
      ),
    ).toMatch(/^Answered by finding 3\. /)
    expect(
      grounds(
        DEFAULT_STUDY,
        signals.map((_, i) => (i === 0 ? 3 : null)),
      ),
    ).toMatch(/^One of \w+ signals is answered by finding 3\. /)
    expect(
      grounds(
        DEFAULT_STUDY,
        signals.map(() => null),
      ),
    ).toMatch(/^Limits from/)
  })
})
