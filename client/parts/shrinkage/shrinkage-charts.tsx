import { useState } from 'preact/hooks'
import type { AxisShrinkageView, ShrinkageView } from '../../../server/contract/shrinkage.ts'
import type { ChartNote } from '../../../src/figures/chart-panel-model.ts'
import { laneModel } from '../../../src/figures/lane-model.ts'
import { LanesFigure } from '../../../src/figures/lanes-figure.tsx'
import { timelineLayout } from '../../../src/figures/timeline-layout.ts'
import { formatNumber, formatSigned } from '../../../src/words/format.ts'
import { conditionsTable } from '../../words/shrinkage-tables.ts'
import { StillFigure } from '../still-figure.tsx'
import { SeriesChart, seriesWords } from './series-chart.tsx'

/** One and the same, so that a chart without notes is not drawn anew. */
const NO_NOTES: readonly ChartNote[] = []

interface ShrinkageChartsProps {
  readonly view: ShrinkageView
  readonly axis: AxisShrinkageView
  /** First and last position in view. */
  readonly span: readonly [number, number]
}

/** Shrinkage and offset along one axis over the builds, below what the process was run with. */
export function ShrinkageCharts({ view, axis, span }: ShrinkageChartsProps) {
  const { overall, shrinkage, offset, notes } = axis
  const [focus, setFocus] = useState<number | null>(null)
  const names = view.builds.map((build) => build.name)
  const [from, to] = span
  const of = `${view.partNumber.number} rev ${view.partNumber.revision}`
  if (overall === null || shrinkage === null) return <p>{`Nothing usable is measured along ${axis.axis}.`}</p>
  return (
    <>
      <p class="lead">{overallWords(axis)}</p>
      <StillFigure
        name="conditions"
        title={`${of}, what the process was run with`}
        draw={(palette, width) => (
          <LanesFigure
            model={laneModel(view.builds, from, to)}
            layout={timelineLayout(width, from, to)}
            buildNames={names}
            palette={palette}
            label="What the process was run with, build by build"
          />
        )}
        table={() => conditionsTable(view, span)}
        from={[view, from, to]}
      />
      <p class="readout">
        {focus === null
          ? 'Point at a build to read its figures, or go from one to the next with the arrow keys.'
          : seriesWords({ series: shrinkage, unit: '%', builds: view.builds }, focus)}
      </p>
      <SeriesChart
        name={`shrinkage-${axis.axis}`}
        title={`${of}, shrinkage along ${axis.axis}`}
        point={`shrinkage of the build along ${axis.axis}`}
        unit="%"
        series={shrinkage}
        notes={notes}
        builds={view.builds}
        span={span}
        focus={focus}
        onFocus={setFocus}
      />
      {offset === null ? (
        <p class="quiet">{`No offset is told apart from scale along ${axis.axis}.`}</p>
      ) : (
        <SeriesChart
          name={`offset-${axis.axis}`}
          title={`${of}, offset along ${axis.axis}`}
          point={`offset of the build along ${axis.axis}`}
          unit="mm"
          series={offset}
          notes={notes}
          builds={view.builds}
          span={span}
          focus={focus}
          onFocus={setFocus}
        />
      )}
    </>
  )
}

/** How much more one axis shrinks than another, over the builds. */
export function AnisotropyCharts({ view, span }: { view: ShrinkageView; span: readonly [number, number] }) {
  const [focus, setFocus] = useState<number | null>(null)
  return (
    <>
      {view.anisotropy.map((pair) => (
        <SeriesChart
          key={`${pair.first}${pair.second}`}
          name={`anisotropy-${pair.first}${pair.second}`}
          title={`${view.partNumber.number} rev ${view.partNumber.revision}, shrinkage along ${pair.first} less that along ${pair.second}`}
          point={`shrinkage along ${pair.first} less that along ${pair.second}`}
          unit="%"
          series={pair}
          notes={NO_NOTES}
          builds={view.builds}
          span={span}
          focus={focus}
          onFocus={setFocus}
        />
      ))}
    </>
  )
}

/** What the axes differ by, in one line. */
export function anisotropyWords({ anisotropy }: ShrinkageView): string {
  if (anisotropy.length === 0) return 'Fewer than two builds tell how axes differ.'
  const parts = anisotropy.map(({ first, second, difference }) => {
    const half = 100 * (difference.upper - difference.value)
    const value = 100 * difference.value
    return `${first} shrinks ${formatNumber(Math.abs(value), 3)} % ${value < 0 ? 'less' : 'more'} than ${second} (± ${formatNumber(half, 3)})`
  })
  return `Of the green size, ${parts.join('; ')}.`
}

function overallWords({ axis, overall, variation }: AxisShrinkageView): string {
  if (overall === null) return ''
  const { shrinkage, offset } = overall
  const half = (estimate: { upper: number; value: number }) => estimate.upper - estimate.value
  const size = `Along ${axis} parts shrink by ${formatNumber(100 * shrinkage.value, 3)} % ± ${formatNumber(100 * half(shrinkage), 3)}`
  const bleed =
    offset === null
      ? ', the offset in it'
      : `, beside an offset of ${formatSigned(offset.value, 4)} mm ± ${formatNumber(half(offset), 4)} that does not scale`
  const scatter = (name: string, value: number | null | undefined) =>
    value === null || value === undefined ? [] : [`${name} by ${formatNumber(100 * value, 3)} %`]
  const spread = [
    ...scatter('builds differ', variation?.buildShrinkage),
    ...scatter('furnace loads', variation?.loadShrinkage),
    ...scatter('parts of one build', variation?.part),
  ]
  return `${size}${bleed}.${spread.length === 0 ? '' : ` One standard deviation each: ${spread.join(', ')}.`}`
}
