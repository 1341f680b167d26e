import type { SeriesChartView } from '../../../server/contract/shrinkage.ts'
import type { TimelineBuild } from '../../../server/contract/views.ts'
import type { ChartNote } from '../../../src/figures/chart-panel-model.ts'
import { ControlChart } from '../../../src/figures/control-chart.tsx'
import { formatNumber } from '../../../src/words/format.ts'
import { buildWords } from '../../words/build-words.ts'
import { seriesTable } from '../../words/shrinkage-tables.ts'
import { BuildSlider } from '../build-slider.tsx'

interface SeriesChartProps {
  readonly name: string
  readonly title: string
  /** What a point is. */
  readonly point: string
  readonly unit: '%' | 'mm'
  readonly series: SeriesChartView
  readonly notes: readonly ChartNote[]
  readonly builds: readonly TimelineBuild[]
  readonly span: readonly [number, number]
  /** Position of the build pointed at, on this chart or one beside it. */
  readonly focus: number | null
  onFocus(position: number | null): void
}

/** A quantity of shrinkage over the builds, which are pointed at with the pointer or the arrow keys. */
export function SeriesChart(props: SeriesChartProps) {
  const { name, title, point, unit, series, notes, builds, span, focus, onFocus } = props
  return (
    <BuildSlider
      name={name}
      title={title}
      label={`Builds on the control chart of the ${point}`}
      span={span}
      focus={focus}
      words={(position) => seriesWords(props, position)}
      draw={(layout, palette, live) => (
        <ControlChart
          model={series.chart}
          positions={series.positions}
          layout={layout}
          buildNames={builds.map((build) => build.name)}
          unit={unit}
          point={point}
          decimals={decimalsOf(unit)}
          specification={null}
          band={null}
          notes={notes}
          palette={palette}
          label={live ? null : `Control chart: ${title}`}
        />
      )}
      table={() => seriesTable(title, series, unit)}
      from={[series, notes]}
      onFocus={onFocus}
      onLeave={() => onFocus(null)}
    />
  )
}

/** What one build came to, in one line. */
export function seriesWords(
  { series, unit, builds }: Pick<SeriesChartProps, 'series' | 'unit' | 'builds'>,
  position: number,
): string {
  const build = builds[position]
  if (build === undefined) return ''
  const i = series.positions.indexOf(position)
  const value = series.chart.location.values[i]
  const error = series.standardErrors[i]
  const conditions = buildWords(build)
  if (value === null || value === undefined || error === undefined)
    return `Build ${build.name}: not estimated; ${conditions}`
  const decimals = decimalsOf(unit)
  return `Build ${build.name}: ${formatNumber(value, decimals)} ${unit}, standard error ${formatNumber(error, decimals)}; ${conditions}`
}

function decimalsOf(unit: '%' | 'mm'): number {
  return unit === 'mm' ? 4 : 3
}
