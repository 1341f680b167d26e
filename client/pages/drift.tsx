import { useEffect, useMemo, useState } from 'preact/hooks'
import { useLocation, useRoute } from 'preact-iso'
import type { ChartView, DriftView, EventsView } from '../../server/contract/views.ts'
import { slowChart } from '../../src/charts/slow-change.ts'
import { SCREEN } from '../../src/figures/palette.ts'
import { DeviationKey } from '../../src/figures/strip.tsx'
import type { OverviewRow } from '../../src/overview/overview.ts'
import { chartHeadline } from '../../src/words/chart-words.ts'
import { characteristicTitle, formatNumber } from '../../src/words/format.ts'
import type { Sentence } from '../../src/words/sentence.ts'
import { chartAddress, driftAddress, driftPage, eventsAddress } from '../data/addresses.ts'
import { onDecided } from '../data/decide.ts'
import { changeOf, chosenRow, driftState, movedBand, namedEvent } from '../data/drift-state.ts'
import { changedQuery, useQuery } from '../data/query.ts'
import { useResource } from '../data/resource.ts'
import { RUNNING_AVERAGE } from '../data/slow-state.ts'
import { onReceipt } from '../data/the-intake.ts'
import { useTimeline } from '../data/timeline-span.ts'
import { Choice } from '../parts/choice.tsx'
import { Disclosure } from '../parts/disclosure.tsx'
import { AboutWays, TogetherWay } from '../parts/drift/about-head.tsx'
import { ChartWhy } from '../parts/drift/chart-why.tsx'
import { DriftChart, pointWords } from '../parts/drift/drift-chart.tsx'
import { DriftStrip } from '../parts/drift/drift-strip.tsx'
import { EventFinding } from '../parts/drift/event-finding.tsx'
import {
  EventFactor,
  EventFigures,
  EventGrounds,
  EventsList,
  SIZE_TITLE,
} from '../parts/drift/events-list.tsx'
import { FindingsList } from '../parts/drift/findings-list.tsx'
import { IndexNote } from '../parts/drift/index-note.tsx'
import { LimitsInForce } from '../parts/drift/limits-in-force.tsx'
import { RemarksList } from '../parts/drift/remarks.tsx'
import { SignalList } from '../parts/drift/signal-list.tsx'
import { SpanControls } from '../parts/drift/span-controls.tsx'
import { Still } from '../parts/drift/still.tsx'
import { ValuesOfBuild } from '../parts/drift/values-of-build.tsx'
import { WhatMoved } from '../parts/drift/what-moved.tsx'
import { Zoomable } from '../parts/drift/zoomable.tsx'
import { Reading, ReadingOfPartNumber } from '../parts/notice.tsx'
import { Opening, Words } from '../parts/sentence.tsx'
import { MeasuredStage } from '../parts/stage-choice.tsx'
import { useTitle } from '../parts/title.ts'
import { WindowChoice } from '../parts/window-choice.tsx'
import { requirementWords } from '../words/characteristic-words.ts'

/** Whether anything moved, what, when, and what else changed then. */
export function DriftPage() {
  const { params, query } = useRoute()
  const key = { number: params.number ?? '', revision: params.revision ?? '' }
  useTitle(`Drift of ${key.number}, rev ${key.revision}`)
  const { stage } = driftState(query)
  const resource = useResource<DriftView>(driftAddress(key, stage))
  useEffect(() => onReceipt(resource.again), [resource.again])
  const events = useResource<EventsView>(eventsAddress(key, stage))
  useEffect(() => onReceipt(events.again), [events.again])
  useEffect(() => onDecided(events.again), [events.again])
  useEffect(() => onDecided(resource.again), [resource.again])
  const view = resource.value
  return (
    <>
      <ReadingOfPartNumber resource={resource} what="the builds" />
      {resource.problem === null && <Reading resource={events} what="what moved" />}
      {view !== null && events.value !== null && (
        <DriftOpening view={view} events={events.value} designator={params.designator} />
      )}
      {view !== null && view.overview.rows.length > 0 ? (
        <Drift view={view} events={events.value} designator={params.designator} />
      ) : (
        view !== null && <EmptyStage view={view} />
      )}
    </>
  )
}

/** The event to look at first, or else what the characteristics say; then what else happened. */
function DriftOpening({
  view,
  events,
  designator,
}: {
  view: DriftView
  events: EventsView
  designator: string | undefined
}) {
  const { query } = useQuery()
  const named = namedEvent(view, events, { build: query.event, designator, kind: query.kind })
  const opening = named ?? events.opening
  const lead = opening === null ? null : (events.events[opening] ?? null)
  return (
    <>
      {lead === null ? (
        <Opening headline={events.headline} grounds={events.grounds} />
      ) : (
        <header class="opening">
          <h1>
            <Words sentence={lead.sentence} />
          </h1>
          <EventGrounds event={lead}>
            <EventFactor view={view} event={lead} />
          </EventGrounds>
          <EventFinding view={view} event={lead} />
          <Disclosure name="size" title={SIZE_TITLE}>
            <EventFigures event={lead} builds={view.builds} />
          </Disclosure>
        </header>
      )}
      {events.events.length > 0 && <EventsList view={view} events={events} opening={opening} />}
    </>
  )
}

function EmptyStage({ view }: { view: DriftView }) {
  const { change } = useQuery()
  return (
    <div class="controls">
      <p>{`No ${view.stage} parts of this part number are on record.`}</p>
      <MeasuredStage value={view.stage} onPick={(stage) => change({ stage })} />
    </div>
  )
}

interface DriftProps {
  readonly view: DriftView
  readonly events: EventsView | null
  readonly designator: string | undefined
}

function Drift({ view, events, designator }: DriftProps) {
  const { route } = useLocation()
  const { query, change } = useQuery()
  const state = driftState(query)
  const [pointed, setPointed] = useState<number | null>(null)
  const [atKeys, setAtKeys] = useState<number | null>(null)
  const chosen = chosenRow(view, designator) as OverviewRow
  const { characteristic } = chosen
  const names = useMemo(() => view.builds.map((build) => build.name), [view])
  const timeline = useTimeline(names)
  const span = timeline.drawn
  const band = useMemo(
    () => movedBand(chosen, changeOf(events, chosen.characteristic.designator)),
    [chosen, events],
  )
  const opened = view.builds.findIndex((build) => build.name === state.build)
  const focus = pointed ?? atKeys ?? (opened === -1 ? null : opened)
  const chart = useResource<ChartView>(chartAddress(view.partNumber, characteristic.designator, state.stage))
  useEffect(() => onDecided(chart.again), [chart.again])
  const charted = chart.value
  const average = useMemo(
    () => (charted === null || !state.average ? null : slowChart(charted.chart, RUNNING_AVERAGE)),
    [charted, state.average],
  )
  const openBuild = (build: string) => change({ build }, false)
  const pick = (row: OverviewRow) =>
    route(`${driftPage(view.partNumber, row.characteristic.designator)}${changedQuery(query, {})}`, true)
  const open = (position: number) => {
    setAtKeys(position)
    change({ build: view.builds[position]?.name ?? null }, false)
  }
  return (
    <>
      <Controls view={view} />
      <SpanControls timeline={timeline} names={names} />
      <Zoomable timeline={timeline}>
        <DriftStrip
          view={view}
          order={state.order}
          span={span}
          chosen={chosen}
          band={band}
          focus={focus}
          onPick={pick}
          onFocus={setPointed}
        />
        <IndexNote view={view} />
        <section class="chart" aria-labelledby="chart-title">
          <h2 id="chart-title">
            {`${characteristicTitle(characteristic)}${characteristic.axis === null ? '' : `, ${characteristic.axis}`}`}
            <span class="requirement">{` ${requirementWords(characteristic)}`}</span>
          </h2>
          <AboutWays of={view.partNumber} designator={characteristic.designator} here={null} />
          <Reading resource={chart} what="the chart" />
          {charted !== null && (
            <div class={charted.characteristic.id === characteristic.id ? undefined : 'stale'}>
              <ChartHead view={charted} sentence={chartSentence(charted, events)} />
              <p class="readout">
                {focus === null
                  ? 'Point at a build to read its figures; pick it to open the single values.'
                  : pointWords(charted, view.builds, focus)}
              </p>
              <DriftChart
                view={charted}
                builds={view.builds}
                span={span}
                band={band}
                findings={view.findings}
                specification={state.specification}
                average={average}
                focus={focus}
                onFocus={setPointed}
                onMove={setAtKeys}
                onOpen={open}
              />
              {state.build !== null && (
                <ValuesOfBuild
                  view={charted}
                  builds={view.builds}
                  build={state.build}
                  onClose={() => change({ build: null })}
                />
              )}
              <Still
                from={[charted, view, events, query]}
                draw={() => (
                  <>
                    <h3>Signals on this chart</h3>
                    <SignalList view={charted} drift={view} events={events} onOpen={openBuild} />
                    <LimitsInForce view={charted} builds={view.builds} />
                    <Disclosure name="why" title="How do you know?">
                      <ChartWhy view={charted} />
                    </Disclosure>
                  </>
                )}
              />
            </div>
          )}
        </section>
      </Zoomable>
      <TogetherWay of={view.partNumber} />
      <Still
        from={[view, events, query]}
        draw={() => (
          <>
            <WhatMoved view={view} events={events} onPick={pick} />
            <FindingsList view={view} onOpen={openBuild} />
            <RemarksList view={view} onOpen={openBuild} />
          </>
        )}
      />
    </>
  )
}

function Controls({ view }: { view: DriftView }) {
  const { query, change } = useQuery()
  const state = driftState(query)
  return (
    <div class="controls">
      <Choice
        legend="Rows"
        name="rows"
        value={state.order}
        options={[
          { value: 'axis', text: 'by axis' },
          { value: 'number', text: 'by number' },
          { value: 'worst', text: 'worst first' },
          { value: 'likeness', text: 'by likeness' },
        ]}
        onPick={(rows) => change({ rows: rows === 'axis' ? null : rows })}
      />
      <WindowChoice total={view.builds.length} />
      <MeasuredStage value={state.stage} onPick={(stage) => change({ stage })} />
      <div class="key">
        <span>build’s mean, in standard errors</span>
        <DeviationKey palette={SCREEN} />
      </div>
    </div>
  )
}

/**
 * What moved here, by the event that stands for it: the same change, with the same figures, as above. Null while it is
 * read.
 */
function chartSentence({ characteristic, chart }: ChartView, events: EventsView | null): Sentence | null {
  if (events === null) return null
  return chartHeadline(characteristic, chart, changeOf(events, characteristic.designator), events.buildNames)
}

function ChartHead({ view, sentence }: { view: ChartView; sentence: Sentence | null }) {
  const { query, change } = useQuery()
  const { characteristic } = view
  const { specification: shown, average: averaged } = driftState(query)
  const limited = characteristic.lower !== null || characteristic.upper !== null
  return (
    <>
      <p class="lead">
        <Words sentence={sentence ?? [{ text: '\u00a0' }]} />
      </p>
      <p class="grounds">
        <Words sentence={view.grounds} />
      </p>
      <div class="ways">
        {limited && (
          <button
            type="button"
            class="plain"
            aria-pressed={shown}
            onClick={() => change({ specification: shown ? null : 'shown' })}
          >
            {shown ? 'Leave out the specification limits' : 'Show the specification limits'}
          </button>
        )}
        <button
          type="button"
          class="plain"
          aria-pressed={averaged}
          onClick={() => change({ average: averaged ? null : 'shown' })}
        >
          {averaged ? 'Leave out the running average' : 'Lay the running average over'}
        </button>
      </div>
      {shown && <p class="quiet">Specification limits are for single parts; the points are means.</p>}
      {averaged && (
        <p class="quiet">
          {`The heavy line is the running average of the means, the newest build weighing ${formatNumber(100 * RUNNING_AVERAGE.weight, 0)} %; the broken lines are its limits, with a false alarm in ${RUNNING_AVERAGE.alarm} builds. Slow changes has other weights, and running sums.`}
        </p>
      )}
    </>
  )
}
