import type { VNode } from 'preact'
import { render } from 'preact-render-to-string'
import { plotBand } from '../../src/capability/plot-band.ts'
import { bindingLimits } from '../../src/capability/quantile-method.ts'
import type { ChartModel } from '../../src/charts/model.ts'
import { ControlChart } from '../../src/figures/control-chart.tsx'
import { Histogram, type ValuesFigureProps } from '../../src/figures/histogram.tsx'
import { PAPER } from '../../src/figures/palette.ts'
import { ProbabilityPlot } from '../../src/figures/probability-plot.tsx'
import { timelineLayout } from '../../src/figures/timeline-layout.ts'
import { characteristicTitle, drawingDecimals, meanDecimals } from '../../src/words/format.ts'
import { unitText } from '../../src/words/unit.ts'
import type { ReportCharacteristic, ReportSources } from '../contract/report.ts'
import type { DrawnFigure } from './document.ts'
import { unpackChart } from './packed-chart.ts'
import { BELOW_WIDTH, BESIDE } from './plate-size.ts'

/** Of the panels below the one for location, pixels. */
const SPREAD_HEIGHT = 26

/**
 * The control chart over the builds of the span; null where it has no points.
 *
 * @param height in pixels
 */
export function chartFigure(
  { chart: packed, positions, characteristic, chartHeadline }: ReportCharacteristic,
  { timeline, firstPlace }: ReportSources,
  height: number,
): DrawnFigure | null {
  const inSpan = positions.filter((position) => position >= firstPlace)
  if (inSpan.length === 0 || packed.phases.length === 0) return null
  const chart = unpackChart(
    packed,
    positions.map((position) => timeline[position] as string),
  )
  const says = `Control chart of ${characteristicTitle(characteristic)}. ${chartHeadline}`
  return drawn(
    <ControlChart
      model={chart}
      positions={positions}
      layout={timelineLayout(BELOW_WIDTH, firstPlace, timeline.length - 1)}
      buildNames={timeline}
      unit={unitText(characteristic.unit)}
      decimals={Math.min(meanDecimals(characteristic), roomForDecimals(chart))}
      specification={null}
      band={null}
      heights={{ whole: height, spread: SPREAD_HEIGHT }}
      palette={PAPER}
      label={says}
    />,
    says,
  )
}

/** Digits of a limit that stand beside its name; small values have no more, but zeros in front of them. */
const MOST_DIGITS = 9
const MOST_DECIMALS = 8

function roomForDecimals({ location }: ChartModel): number {
  const greatest = Math.max(...[...location.upper, ...location.lower].map((limit) => Math.abs(limit ?? 0)))
  return greatest < 1 ? MOST_DECIMALS : Math.max(0, MOST_DIGITS - 1 - Math.floor(Math.log10(greatest)))
}

/** Histogram and probability plot; none where all values are the same. */
export function valueFigures(row: ReportCharacteristic): DrawnFigure[] {
  const { characteristic, values, summary, nEffective } = row
  if (values === null) return []
  const name = characteristicTitle(characteristic)
  const distribution = summary.shape?.fitted ?? null
  const band =
    distribution === null ? [] : plotBand(distribution, values.n, nEffective, summary.requirement.confidence)
  const props = (label: string): ValuesFigureProps => ({
    values,
    distribution,
    limits: bindingLimits(characteristic, characteristic.kind),
    decimals: drawingDecimals(characteristic),
    unit: unitText(characteristic.unit),
    width: BESIDE.width,
    height: BESIDE.height,
    palette: PAPER,
    label,
  })
  const histogram = `Histogram of ${name}`
  const plot = `Probability plot of ${name}`
  return [
    drawn(<Histogram {...props(histogram)} />, histogram),
    drawn(<ProbabilityPlot {...props(plot)} band={band} />, plot),
  ]
}

function drawn(figure: VNode, says: string): DrawnFigure {
  // A path without a way is written as an attribute without a value, which is no XML.
  const svg = render(figure).replace(/<path d [^>]*><\/path>/g, '')
  const size = /^<svg width="([\d.]+)" height="([\d.]+)"/.exec(svg)
  return { svg, width: Number(size?.[1]), height: Number(size?.[2]), says }
}
