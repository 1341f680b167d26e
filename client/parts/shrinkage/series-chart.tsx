import { useMemo } from 'preact/hooks'
import type { SeriesChartView } from '../../../server/contract/shrinkage.ts'
import type { TimelineBuild } from '../../../server/contract/views.ts'
import type { ChartNote } from '../../../src/figures/chart-panel-model.ts'
import { ControlChart } from '../../../src/figures/control-chart.tsx'
import { Focus } from '../../../src/figures/focus.tsx'
import { type Palette, SCREEN } from '../../../src/figures/palette.ts'
import { timelineLayout } from '../../../src/figures/timeline-layout.ts'
import { formatNumber } from '../../../src/words/format.ts'
import { buildWords } from '../../words/build-words.ts'
import { seriesTable } from '../../words/shrinkage-tables.ts'
import { Figure } from '../figure.tsx'
import { useWidth } from '../width.ts'

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
  const [ref, width] = useWidth()
  const [from, to] = span
  const draw = (palette: Palette, wide: number, label: string | null) => (
    <ControlChart
      model={series.chart}
      positions={series.positions}
      layout={timelineLayout(wide, from, to)}
      buildNames={builds.map((build) => build.name)}
      unit={unit}
      point={point}
      decimals={decimalsOf(unit)}
      specification={null}
      band={null}
      notes={notes}
      palette={palette}
      label={label}
    />
  )
  // Drawn anew only when what it shows changes.
  const drawn = useMemo(
    () => (width === null ? null : draw(SCREEN, width, null)),
    [series, notes, from, to, width],
  )
  const at = focus ?? to
  const key = (event: KeyboardEvent) => {
    const next: Readonly<Record<string, number>> = {
      ArrowLeft: at - 1,
      ArrowDown: at - 1,
      ArrowRight: at + 1,
      ArrowUp: at + 1,
      PageDown: at - 10,
      PageUp: at + 10,
      Home: from,
      End: to,
    }
    const position = next[event.key]
    if (position === undefined) return
    event.preventDefault()
    onFocus(Math.max(from, Math.min(to, position)))
  }
  return (
    <Figure
      name={name}
      title={title}
      draw={(palette, wide) => draw(palette, wide, `Control chart: ${title}`)}
      table={() => seriesTable(title, series, unit)}
    >
      <div
        ref={ref}
        class="reach"
        role="slider"
        tabIndex={0}
        aria-label={`Builds on the control chart of the ${point}`}
        aria-valuemin={from + 1}
        aria-valuemax={to + 1}
        aria-valuenow={at + 1}
        aria-valuetext={seriesWords(props, at)}
        onPointerMove={(event) => {
          const box = event.currentTarget.getBoundingClientRect()
          onFocus(timelineLayout(width ?? 0, from, to).scale.at(event.clientX - box.left))
        }}
        onPointerLeave={() => onFocus(null)}
        onKeyDown={key}
      >
        {drawn}
        {width !== null && focus !== null && focus >= from && focus <= to && (
          <Focus layout={timelineLayout(width, from, to)} position={focus} name={null} palette={SCREEN} />
        )}
      </div>
    </Figure>
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
