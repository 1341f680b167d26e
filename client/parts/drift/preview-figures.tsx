import type { SignalNote, StudyPreview } from '../../../server/contract/decisions.ts'
import type { ChartView, TimelineBuild } from '../../../server/contract/views.ts'
import type { ChartModel, PhaseLimits } from '../../../src/charts/model.ts'
import { ControlChart } from '../../../src/figures/control-chart.tsx'
import { SCREEN } from '../../../src/figures/palette.ts'
import { timelineLayout } from '../../../src/figures/timeline-layout.ts'
import { characteristicTitle, formatNumber, meanDecimals } from '../../../src/words/format.ts'
import { unitText } from '../../words/quantities.ts'
import { useWidth } from '../width.ts'

interface PreviewFiguresProps {
  readonly view: ChartView
  readonly builds: readonly TimelineBuild[]
  readonly preview: StudyPreview
}

/** What a change would do: limits before and after, signals that come and go, and the chart as it would be. */
export function PreviewFigures({ view, builds, preview }: PreviewFiguresProps) {
  const { characteristic } = view
  const { before, after, gained, lost } = preview
  return (
    <section class="preview" aria-label="What it would change">
      <div class="scroll">
        <table>
          <caption class="unseen">Limits before and after</caption>
          <thead>
            <tr>
              <th scope="col">limits</th>
              <th scope="col">builds</th>
              <th scope="col">from</th>
              {['lower limit', 'centre', 'upper limit', 'upper limit of spread'].map((heading) => (
                <th key={heading} scope="col" class="number">
                  {`${heading}, ${unitText(characteristic.unit)}`}
                </th>
              ))}
              <th scope="col" class="number">
                signals
              </th>
            </tr>
          </thead>
          <tbody>
            {before.phases.map((phase) => (
              <LimitsRow key={phase.from} name="now" chart={before} phase={phase} view={view} />
            ))}
            {after.phases.map((phase) => (
              <LimitsRow key={phase.from} name="then" chart={after} phase={phase} view={view} />
            ))}
          </tbody>
        </table>
      </div>
      <p>
        {gained.length + lost.length === 0
          ? 'No signal comes or goes.'
          : `${notes('Signals that go', lost)}${notes('Signals that come', gained)}`}
      </p>
      <AfterChart view={view} builds={builds} chart={after} />
    </section>
  )
}

function LimitsRow({
  name,
  chart,
  phase,
  view,
}: {
  name: string
  chart: ChartModel
  phase: PhaseLimits
  view: ChartView
}) {
  const label = (i: number) => chart.subgroups[i]?.label ?? ''
  const decimals = meanDecimals(view.characteristic)
  const figure = (values: readonly (number | null)[] | undefined, more = 0) => {
    const last = values?.slice(phase.from, phase.to + 1).findLast((value) => value !== null)
    return last === null || last === undefined ? '–' : formatNumber(last, decimals + more)
  }
  const from =
    phase.baselineCount === 1
      ? label(phase.baselineFrom)
      : `${phase.baselineCount} builds, ${label(phase.baselineFrom)} to ${label(phase.baselineTo)}`
  const kind = phase.frozen !== null ? ', frozen' : phase.provisional ? ', provisional' : ''
  const signals = chart.signals.filter(
    ({ points: [first = -1] }) => first >= phase.from && first <= phase.to,
  ).length
  return (
    <tr>
      <th scope="row">{name}</th>
      <td>{phase.from === phase.to ? label(phase.from) : `${label(phase.from)} to ${label(phase.to)}`}</td>
      <td>{from + kind}</td>
      <td class="number">{figure(chart.location.lower)}</td>
      <td class="number">{figure(chart.location.centre)}</td>
      <td class="number">{figure(chart.location.upper)}</td>
      <td class="number">{figure(chart.spread?.upper, 1)}</td>
      <td class="number">{signals}</td>
    </tr>
  )
}

/** Signals that are named before the rest is counted. */
const NAMED = 6

function notes(title: string, signals: readonly SignalNote[]): string {
  if (signals.length === 0) return ''
  const named = signals
    .slice(0, NAMED)
    .map(({ words, from, to }) => `${from === to ? from : `${from} to ${to}`} ${words}`)
  const more = signals.length - NAMED
  return `${title}: ${named.join('; ')}${more > 0 ? `; and ${more} more` : ''}. `
}

/** Builds that the chart of a preview shows. */
const SHOWN = 120

function AfterChart({
  view,
  builds,
  chart,
}: {
  view: ChartView
  builds: readonly TimelineBuild[]
  chart: ChartModel
}) {
  const [ref, width] = useWidth()
  const places = new Map(builds.map((build, i) => [build.id, i]))
  const { characteristic } = view
  return (
    <div ref={ref} class="figure">
      {width !== null && (
        <ControlChart
          model={chart}
          positions={chart.subgroups.map((subgroup) => places.get(subgroup.buildId) ?? 0)}
          layout={timelineLayout(width, Math.max(0, builds.length - SHOWN), builds.length - 1)}
          buildNames={builds.map((build) => build.name)}
          unit={unitText(characteristic.unit)}
          decimals={meanDecimals(characteristic)}
          specification={null}
          band={null}
          palette={SCREEN}
          label={`Control chart of ${characteristicTitle(characteristic)} as it would be`}
        />
      )}
    </div>
  )
}
