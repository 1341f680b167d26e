import { render } from 'preact-render-to-string'
import { describe, expect, it } from 'vitest'
import { GAUGE_EXAMPLE, LINEARITY_EXAMPLE } from '../../../src/evidence/data/gauge-example.ts'
import { AgreementFigure } from '../../../src/figures/agreement-figure.tsx'
import { BiasFigure } from '../../../src/figures/bias-figure.tsx'
import { PAPER } from '../../../src/figures/palette.ts'
import { SpreadLadder } from '../../../src/figures/spread-ladder.tsx'
import { StudyReadings } from '../../../src/figures/study-readings.tsx'
import { studyReadingsModel } from '../../../src/figures/study-readings-model.ts'
import { biasStudy } from '../../../src/gauges/bias.ts'
import { gaugeStudy } from '../../../src/gauges/gauge-study.ts'
import { methodAgreement } from '../../../src/gauges/method-agreement.ts'
import { COMPONENTS } from '../../../src/gauges/study-model.ts'
import { normalSource } from '../run-length/simulation.ts'
import { byTag, number, overlaps, texts } from './drawn.ts'

const WIDTHS = [330, 620, 1000]
const study = gaugeStudy(GAUGE_EXAMPLE, { interaction: 'kept' })

describe('what is spread by what', () => {
  const rows = COMPONENTS.flatMap((name) => {
    const component = study.components[name]
    return component === null ? [] : [{ name, sd: component.sd, strong: name === 'gauge' }]
  })
  const ladder = (width: number, bounds: readonly [number, number] | null = [0.2, 0.6]) =>
    render(
      <SpreadLadder
        rows={rows}
        bounds={bounds}
        unit="mm"
        decimals={4}
        width={width}
        palette={PAPER}
        label="ladder"
      />,
    )

  it('has a mark for each component at its standard deviation, on one scale from 0', () => {
    const xs = byTag(ladder(1000), 'circle').map((circle) => number(circle, 'cx'))
    expect(xs).toHaveLength(rows.length)
    const zero = xs[rows.findIndex(({ sd }) => sd.value === 0)] ?? Number.NaN
    const perUnit = rows.map(({ sd }, i) => ((xs[i] as number) - zero) / sd.value).filter(Number.isFinite)
    for (const each of perUnit) expect(each / (perUnit[0] as number)).toBeCloseTo(1, 2)
  })

  it('names a tenth and three tenths of the tolerance, or neither', () => {
    expect(texts(ladder(1000))).toEqual(
      expect.arrayContaining(['a tenth of the tolerance', 'three tenths of the tolerance']),
    )
    expect(texts(ladder(1000, null)).join()).not.toContain('tolerance')
  })

  it.each(WIDTHS)('keeps its words apart at %i pixels', (width) =>
    expect(overlaps(ladder(width))).toEqual([]),
  )
})

describe('readings around each part', () => {
  const figure = (width: number) =>
    render(
      <StudyReadings
        model={studyReadingsModel(GAUGE_EXAMPLE)}
        unit="mm"
        decimals={2}
        width={width}
        palette={PAPER}
        label="readings"
      />,
    )

  it('draws every reading, and names every inspector with his mean', () => {
    expect(byTag(figure(1000), 'circle')).toHaveLength(90)
    // The printed means of the manual's example: A 0.1903, B 0.0683, C −0.2543 about 0.0014.
    expect(texts(figure(1000))).toEqual(expect.arrayContaining(['A +0.189', 'B +0.067', 'C −0.256']))
  })

  it('sorts the parts by size', () => {
    const { parts } = studyReadingsModel(GAUGE_EXAMPLE)
    expect([parts[0]?.name, parts.at(-1)?.name]).toEqual(['10', '9'])
  })

  it.each(WIDTHS)('keeps its words apart at %i pixels', (width) =>
    expect(overlaps(figure(width))).toEqual([]),
  )
})

describe('two gauges part by part', () => {
  const normal = normalSource(92)
  const pairs = Array.from({ length: 20 }, (_, i) => {
    const size = 16 + 0.01 * normal()
    return { part: String(i + 1), first: size + 0.001, second: size + 0.001 * normal() }
  })
  const agreement = methodAgreement(pairs, 0.95, 0.95)
  if ('reason' in agreement) throw new Error(agreement.reason)
  const figure = (width: number) =>
    render(
      <AgreementFigure
        pairs={pairs}
        agreement={agreement}
        gauges={['CMM-1', 'MIC-3']}
        unit="mm"
        decimals={4}
        width={width}
        palette={PAPER}
        label="agreement"
      />,
    )

  it('draws every part, the mean between the limits, and a wash for each interval', () => {
    const svg = figure(1000)
    expect(byTag(svg, 'circle')).toHaveLength(20)
    expect(byTag(svg, 'rect')).toHaveLength(3)
    expect(texts(svg).filter((text) => /limit|mean difference/.test(text))).toHaveLength(3)
  })

  it.each(WIDTHS)('keeps its words apart at %i pixels', (width) =>
    expect(overlaps(figure(width))).toEqual([]),
  )
})

describe('bias at known values', () => {
  const bias = biasStudy(LINEARITY_EXAMPLE, 0.95)
  const figure = (width: number) =>
    render(
      <BiasFigure
        study={bias}
        readings={LINEARITY_EXAMPLE}
        unit="mm"
        decimals={3}
        width={width}
        palette={PAPER}
        label="bias"
      />,
    )

  it('draws every reading and a mean at each known value', () => {
    const circles = byTag(figure(1000), 'circle')
    expect(circles.filter((circle) => number(circle, 'r') === 2)).toHaveLength(60)
    expect(circles.filter((circle) => number(circle, 'r') === 4)).toHaveLength(5)
  })

  it.each(WIDTHS)('keeps its words apart at %i pixels', (width) =>
    expect(overlaps(figure(width))).toEqual([]),
  )
})
