import { describe, expect, it } from 'vitest'
import { balancedModel, balancedSquares } from '../../../src/gauges/balanced-analysis.ts'
import { studyTable } from '../../../src/gauges/readings.ts'
import { balancedEstimates } from '../../../src/gauges/study-estimates.ts'
import type { StudyFigure } from '../../../src/gauges/study-model.ts'
import { normalSource } from '../run-length/simulation.ts'
import { drawStudy } from './readings.ts'

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
