import { useEffect, useMemo } from 'preact/hooks'
import { useLocation } from 'preact-iso'
import type { IndexCourseView } from '../../../server/contract/capability-detail.ts'
import type { ChartView, EventsView } from '../../../server/contract/views.ts'
import { BASELINE_SUBGROUPS } from '../../../src/charts/study.ts'
import { ControlChart } from '../../../src/figures/control-chart.tsx'
import { IndexCourseFigure } from '../../../src/figures/index-course-figure.tsx'
import { timelineLayout } from '../../../src/figures/timeline-layout.ts'
import { chartHeadline } from '../../../src/words/chart-words.ts'
import { characteristicTitle, meanDecimals } from '../../../src/words/format.ts'
import { characteristicAddress, chartAddress, driftPage, eventsAddress } from '../../data/addresses.ts'
import { capabilityState } from '../../data/capability-state.ts'
import { onDecided } from '../../data/decide.ts'
import { changeOf } from '../../data/drift-state.ts'
import { useResource } from '../../data/resource.ts'
import { courseTable } from '../../words/capability-detail-tables.ts'
import { unitText } from '../../words/quantities.ts'
import { chartTable } from '../drift/drift-chart.tsx'
import { Reading } from '../notice.tsx'
import { Words } from '../sentence.tsx'
import { StillFigure } from '../still-figure.tsx'
import type { DetailProps } from './capability-values.tsx'

const HEIGHTS = { location: 130, spread: 48 }

/** The control chart over the builds of the span, and below it on the same builds the index over a running window. */
export function CapabilityCourse({ view, measured }: DetailProps) {
  const { partNumber, characteristic, stage } = view
  const resource = useResource<ChartView>(chartAddress(partNumber, characteristic.designator, stage))
  useEffect(() => onDecided(resource.again), [resource.again])
  const chart = resource.value
  return (
    <section aria-labelledby="builds-title">
      <h2 id="builds-title">Over the builds</h2>
      <Reading resource={resource} what="the chart" />
      {chart !== null && chart.characteristic.id === characteristic.id && (
        <ChartAndCourse view={view} measured={measured} chart={chart} />
      )}
    </section>
  )
}

function ChartAndCourse({ view, measured, chart }: DetailProps & { readonly chart: ChartView }) {
  const { partNumber, characteristic, stage } = view
  const { buildNames } = measured
  const { value: events } = useResource<EventsView>(eventsAddress(partNumber, stage))
  const name = characteristicTitle(characteristic)
  const title = `${partNumber.number} rev ${partNumber.revision}, ${name}`
  const names = useMemo(() => chart.builds.map((build) => build.name), [chart])
  const from = Math.max(0, names.indexOf(buildNames[0] ?? ''))
  const to = Math.max(from, names.indexOf(buildNames.at(-1) ?? ''))
  const positions = names.map((_, i) => i)
  return (
    <>
      <p>
        {events !== null && (
          <>
            <Words
              sentence={chartHeadline(
                characteristic,
                chart.chart,
                changeOf(events, characteristic.designator),
                events.buildNames,
              )}
            />{' '}
          </>
        )}
        <a
          href={`${driftPage(partNumber, characteristic.designator)}?${new URLSearchParams({ stage, builds: 'all' })}`}
        >
          Its page under Drift opens each build’s values, with file and line.
        </a>
      </p>
      <StillFigure
        name="chart"
        title={`${title}, control chart`}
        draw={(palette, width) => (
          <ControlChart
            model={chart.chart}
            positions={positions}
            layout={timelineLayout(width, from, to)}
            buildNames={names}
            unit={unitText(characteristic.unit)}
            decimals={meanDecimals(characteristic)}
            specification={null}
            band={null}
            heights={HEIGHTS}
            palette={palette}
            label={`Control chart of ${name}`}
          />
        )}
        table={() => chartTable(chart, positions, [from, to])}
        from={[chart, measured]}
      />
      <Course view={view} measured={measured} names={names} span={[from, to]} />
    </>
  )
}

interface CourseProps extends DetailProps {
  /** Names of the builds of the timeline. */
  readonly names: readonly string[]
  /** What of it is drawn. */
  readonly span: readonly [number, number]
}

/** The index over a running window, once it is worked out: it takes longer than all else on the page. */
function Course({ view, measured, names, span }: CourseProps) {
  const { query } = useLocation()
  const { partNumber, characteristic } = view
  const resource = useResource<IndexCourseView>(
    characteristicAddress(partNumber, characteristic.designator, 'index-course', capabilityState(query)),
  )
  useEffect(() => onDecided(resource.again), [resource.again])
  const { requirement } = measured.summary
  const { index } = requirement
  const found = resource.value
  if (found === null) return <Reading resource={resource} what={`${index} over time`} />
  const { course, buildNames } = found
  if (course === null) {
    return (
      <p class="quiet">{`${index} over time is shown from ${BASELINE_SUBGROUPS + 1} builds on: a window holds ${BASELINE_SUBGROUPS}, as many as limits are computed from.`}</p>
    )
  }
  // The sentence of the page says why.
  if (course.points.every((point) => point.index === null)) return null
  const name = characteristicTitle(characteristic)
  return (
    <div class={resource.loading ? 'stale' : undefined}>
      <StillFigure
        name="course"
        title={`${partNumber.number} rev ${partNumber.revision}, ${name}, ${index} over time`}
        draw={(palette, width) => (
          <IndexCourseFigure
            course={course}
            requirement={requirement}
            positions={buildNames.map((build) => names.indexOf(build))}
            layout={timelineLayout(width, ...span)}
            buildNames={names}
            palette={palette}
            label={`${index} of ${name} over a running window of ${course.window} builds`}
          />
        )}
        table={() => courseTable(measured.summary, found)}
        from={[found, measured, names]}
      />
      <p class="quiet">
        {`Each point is ${index} of the ${course.window} builds that end there, with its interval as a band; the table says how many values each rests on.${course.step < course.window ? ` Neighbours share builds: only windows ${course.window} builds apart are independent.` : ''}${course.points.some(({ n, fittedTo }) => fittedTo !== null && fittedTo < n) ? ' The distribution of a window is fitted to some of its values, scattered over its builds; the table says to how many.' : ''}`}
      </p>
    </div>
  )
}
