import type { FindingView } from '../../../server/contract/decisions.ts'
import type { ChartView, TimelineBuild } from '../../../server/contract/views.ts'
import { averageOnScale } from '../../../src/charts/average-on-scale.ts'
import type { Subgroup } from '../../../src/charts/model.ts'
import type { SlowChart } from '../../../src/charts/slow-change.ts'
import type { ChartNote } from '../../../src/figures/chart-panel-model.ts'
import { ControlChart } from '../../../src/figures/control-chart.tsx'
import type { MovedBand } from '../../../src/figures/moved-band.tsx'
import { characteristicTitle, formatNumber, meanDecimals, valueDecimals } from '../../../src/words/format.ts'
import type { TableModel } from '../../save/csv.ts'
import { buildWords } from '../../words/build-words.ts'
import { findingMark } from '../../words/finding-words.ts'
import { counted, unitText } from '../../words/quantities.ts'
import { BuildSlider } from '../build-slider.tsx'

interface DriftChartProps {
  readonly view: ChartView
  /** The timeline that the strip shows, which may hold builds that this characteristic was not measured in. */
  readonly builds: readonly TimelineBuild[]
  readonly span: readonly [number, number]
  readonly band: MovedBand | null
  readonly findings: readonly FindingView[]
  readonly specification: boolean
  /** Laid over the means; null where it is not asked for. */
  readonly average: SlowChart | null
  readonly focus: number | null
  onFocus(position: number | null): void
  onMove(position: number): void
  onOpen(position: number): void
}

/** The control chart with its ways of pointing at a build: pointer, or arrow keys as on a slider. */
export function DriftChart(props: DriftChartProps) {
  const { view, builds, span, band, findings, specification, average, focus, onFocus, onMove, onOpen } = props
  const { chart, characteristic } = view
  const positions = positionsOf(view, builds)
  return (
    <BuildSlider
      name="chart"
      title={`${view.partNumber.number} rev ${view.partNumber.revision}, ${characteristicTitle(characteristic)}`}
      label={`Builds on the control chart of ${characteristicTitle(characteristic)}. Enter opens the single values.`}
      span={span}
      focus={focus}
      words={(position) => pointWords(view, builds, position)}
      draw={(layout, palette, live) => (
        <ControlChart
          model={chart}
          positions={positions}
          layout={layout}
          buildNames={builds.map((build) => build.name)}
          unit={unitText(characteristic.unit)}
          decimals={meanDecimals(characteristic)}
          specification={specification ? characteristic : null}
          average={average}
          band={band}
          notes={notesOf(view, findings)}
          palette={palette}
          label={live ? null : `Control chart of ${characteristicTitle(characteristic)}`}
        />
      )}
      table={() => chartTable(view, positions, span, average)}
      from={[view, builds, band, findings, specification, average]}
      onFocus={onFocus}
      onMove={onMove}
      onLeave={() => onFocus(null)}
      onOpen={onOpen}
    />
  )
}

/** Findings about this characteristic, at their builds. */
function notesOf({ characteristic }: ChartView, findings: readonly FindingView[]): ChartNote[] {
  return findings.flatMap((finding) =>
    finding.places !== null && finding.characteristics.includes(characteristic.designator)
      ? [{ ...finding.places, text: `finding ${findingMark(finding)}` }]
      : [],
  )
}

/** Where each subgroup stands on the timeline. */
function positionsOf({ chart }: ChartView, builds: readonly TimelineBuild[]): number[] {
  const places = new Map(builds.map((build, i) => [build.id, i]))
  return chart.subgroups.map((subgroup) => places.get(subgroup.buildId) ?? 0)
}

/** What is known of one build and this characteristic, in one line. */
export function pointWords(view: ChartView, builds: readonly TimelineBuild[], position: number): string {
  const build = builds[position]
  if (build === undefined) return ''
  const { characteristic, chart } = view
  const subgroup = chart.subgroups.find((each) => each.buildId === build.id)
  if (subgroup === undefined) return `Build ${build.name}: not measured; ${buildWords(build)}`
  const unit = unitText(characteristic.unit)
  const mean = formatNumber(subgroup.mean, meanDecimals(characteristic))
  const [min, max] = [subgroup.min, subgroup.max].map((value) =>
    formatNumber(value, valueDecimals(characteristic)),
  )
  const sd = subgroup.sd === null ? '' : `, s ${formatNumber(subgroup.sd, meanDecimals(characteristic) + 1)}`
  const figures =
    subgroup.n === 1
      ? `one part, ${mean} ${unit}`
      : `${subgroup.n} parts, mean ${mean}${sd}, ${min} to ${max} ${unit}`
  return `Build ${build.name}: ${figures}${leftOutWords(view, subgroup)}; ${buildWords(build)}`
}

/** What of a subgroup does not count, and why; empty where everything does. */
function leftOutWords({ exclusions }: ChartView, { label, leftOut, leftOutValues }: Subgroup): string {
  if (!leftOut && leftOutValues.length === 0) return ''
  const own = exclusions.filter((exclusion) => exclusion.build === label)
  const reasons = [...new Set(own.map(({ who, reason }) => `${who}: ${reason}`))].join('; ')
  const what = leftOut ? 'left out' : `${counted(leftOutValues.length, 'value')} left out`
  return `, ${what} (${reasons})`
}

/** The points of a control chart as a table. */
export function chartTable(
  view: ChartView,
  positions: readonly number[],
  [from, to]: readonly [number, number],
  average: SlowChart | null = null,
): TableModel {
  const { chart, characteristic, builds } = view
  const laidOver = average === null ? null : averageOnScale(chart.location, average)
  const mean = meanDecimals(characteristic)
  const single = valueDecimals(characteristic)
  const signals = chart.subgroups.map((_, i) =>
    chart.signals
      .flatMap((signal, k) => (signal.points.includes(i) ? [view.signalWords[k] ?? ''] : []))
      .join('; '),
  )
  const column = (heading: string, decimals: number | null) => ({ heading, decimals })
  return {
    caption: `Control chart of ${characteristicTitle(characteristic)}, ${unitText(characteristic.unit)}`,
    columns: [
      column('build', null),
      column('parts', 0),
      column('mean', mean),
      column('lower limit', mean),
      column('centre', mean),
      column('upper limit', mean),
      ...(laidOver === null
        ? []
        : ['running average', 'its lower limit', 'its upper limit'].map((heading) => column(heading, mean))),
      column('standard deviation', mean + 1),
      column('upper limit of that', mean + 1),
      ...(chart.movingRange === null
        ? []
        : [column('step from build before', mean + 1), column('upper limit of the step', mean + 1)]),
      column('least', single),
      column('greatest', single),
      column('signals', null),
      column('left out', null),
      column('conditions', null),
    ],
    rows: chart.subgroups.flatMap((subgroup, i) => {
      const position = positions[i] as number
      if (position < from || position > to) return []
      const { location, spread, movingRange } = chart
      const build = builds[i]
      return [
        [
          subgroup.label,
          subgroup.n,
          subgroup.mean,
          location.lower[i] ?? null,
          location.centre[i] ?? null,
          location.upper[i] ?? null,
          ...(laidOver === null
            ? []
            : [laidOver.values[i] ?? null, laidOver.lower[i] ?? null, laidOver.upper[i] ?? null]),
          subgroup.sd,
          spread?.upper[i] ?? null,
          ...(movingRange === null ? [] : [movingRange.values[i] ?? null, movingRange.upper[i] ?? null]),
          subgroup.min,
          subgroup.max,
          signals[i] === '' ? null : (signals[i] ?? null),
          leftOutWords(view, subgroup).slice(2) || null,
          build === undefined ? null : buildWords(build),
        ],
      ]
    }),
  }
}
