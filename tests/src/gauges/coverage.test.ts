import { readFileSync } from 'node:fs'
import { describe, expect, it } from 'vitest'
import { chiSquareQuantile, chiSquareUpperQuantile } from '../../../src/distributions/chi-square.ts'
import { balancedModel, balancedSquares } from '../../../src/gauges/balanced-analysis.ts'
import { gaugeStudy } from '../../../src/gauges/gauge-study.ts'
import { studyTable } from '../../../src/gauges/readings.ts'
import { balancedEstimates } from '../../../src/gauges/study-estimates.ts'
import type { StudyFigure } from '../../../src/gauges/study-model.ts'
import { normalSource } from '../run-length/simulation.ts'
import { drawStudy } from './readings.ts'

describe('95 % intervals, simulated once (tests/reference/gauges/coverage.ts)', () => {
  const [head, ...rows] = readFileSync(
    new URL('../../reference/gauges/coverage.csv', import.meta.url),
    'utf8',
  )
    .trim()
    .split('\n')
    .map((line) => line.split(','))
  const at = (name: string) => head?.indexOf(name) as number
  const crossed = rows.filter(([method]) => method === 'restricted maximum likelihood')

  it.each(['repeatability', 'inspector', 'interaction', 'gauge'])(
    '%s by likelihood: 93 to 97 %%, as far as the runs tell',
    (name) => {
      expect(crossed).toHaveLength(4)
      for (const row of crossed) {
        const coverage = Number(row[at(name)])
        expect(coverage).toBeGreaterThan(0.93)
        // One standard error of 300 runs at 97 % is 1 %.
        expect(coverage).toBeLessThan(0.98)
      }
    },
  )

  const squares = rows.filter(([method]) => method?.endsWith('analysis of variance'))

  it.each(['repeatability', 'inspector', 'interaction', 'gauge', 'part', 'total', 'share'])(
    '%s by analysis of variance, crossed and nested: 93 to 97 %%, to the whole per cent',
    (name) => {
      expect(squares).toHaveLength(15)
      for (const row of squares) {
        const coverage = row[at(name)]
        // Where parts are nested there is no interaction.
        if (coverage === '' && name === 'interaction') continue
        expect(Number(coverage)).toBeGreaterThanOrEqual(0.925)
        expect(Number(coverage)).toBeLessThan(0.975)
      }
    },
  )
})

describe('limits by degrees of freedom', () => {
  it('are those by chi-square for a plain variance, whatever its degrees of freedom', () => {
    // Five parts measured unevenly by a machine that scatters as they do: repeatability has 9 degrees of freedom.
    const normal = normalSource(91)
    const sd = { part: 0, inspector: 0, interaction: 0, repeatability: 1 }
    const readings = drawStudy(5, 1, 3, sd, normal).slice(1)
    const table = studyTable(readings)
    const within = table.cells.reduce((sum, { moments }) => sum + moments.m2, 0)
    const { components } = gaugeStudy(
      // Parts far apart leave repeatability to the scatter inside them.
      readings.map((reading, i) => ({ ...reading, value: reading.value + 1e4 * Math.floor((i + 1) / 3) })),
    )
    const { lower, upper } = components.repeatability?.sd ?? { lower: Number.NaN, upper: null }
    expect(lower ** 2 / (within / chiSquareUpperQuantile(0.025, 9))).toBeCloseTo(1, 3)
    expect((upper ?? Number.NaN) ** 2 / (within / chiSquareQuantile(0.025, 9))).toBeCloseTo(1, 3)
  })
})

describe('95 % intervals of 1,500 made-up studies of ten parts, three inspectors and three trials', () => {
  const sd = { part: 1, inspector: 0.3, interaction: 0.3, repeatability: 0.25 }
  const gauge = sd.inspector ** 2 + sd.interaction ** 2 + sd.repeatability ** 2
  const truth = {
    inspector: sd.inspector ** 2,
    repeatability: sd.repeatability ** 2,
    part: 1,
    gauge,
    total: 1 + gauge,
  }
  const names = Object.keys(truth) as (keyof typeof truth)[]
  const covers = (figure: StudyFigure | undefined | null, value: number) =>
    figure !== undefined &&
    figure !== null &&
    figure.lower <= value &&
    (figure.upper ?? Number.POSITIVE_INFINITY) >= value
  const normal = normalSource(83)
  const studies = 1500
  const hits = new Map<string, number>()
  for (let s = 0; s < studies; s++) {
    const squares = balancedSquares(studyTable(drawStudy(10, 3, 3, sd, normal)), 3)
    const { variances, gaugeShare } = balancedEstimates(balancedModel(squares, 10, 3, 3), 0.95)
    for (const name of names) {
      if (covers(variances[name], truth[name])) hits.set(name, (hits.get(name) ?? 0) + 1)
    }
    if (covers(gaugeShare, gauge / (1 + gauge))) hits.set('share', (hits.get('share') ?? 0) + 1)
  }

  it.each([...names, 'share'])('%s', (name) => {
    const coverage = (hits.get(name) ?? 0) / studies
    expect(coverage).toBeGreaterThan(0.93)
    // Limits of a sum of mean squares err on the wide side, the more so the more of them it has (Graybill and Wang).
    expect(coverage).toBeLessThan(name === 'total' ? 0.98 : 0.97)
  })
})
