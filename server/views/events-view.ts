import { buildChart } from '../../src/charts/chart.ts'
import type { ChartModel } from '../../src/charts/model.ts'
import type { Stage } from '../../src/domain/cell.ts'
import { type BuildConditions, buildConditions } from '../../src/events/build-conditions.ts'
import { detectEvents, EVENT_LEVEL } from '../../src/events/detect-events.ts'
import type { EventMember, ProcessEvent } from '../../src/events/event.ts'
import { eventWords } from '../../src/events/event-words.ts'
import { forecast, isForecast } from '../../src/events/forecast.ts'
import { forecastWords } from '../../src/events/forecast-words.ts'
import { isNews, openingEvent } from '../../src/events/opening.ts'
import { rankConditions } from '../../src/events/rank-conditions.ts'
import { answerTo } from '../../src/overview/answers.ts'
import { quietWords } from '../../src/words/opening-words.ts'
import type { EventsView, EventView, PartNumber } from '../contract/views.ts'
import { kept } from '../store/kept.ts'
import type { Store } from '../store/store.ts'
import { studiesOf } from '../store/studies-on-record.ts'
import { cellsByCharacteristic } from './drift-view.ts'
import { type Written, writtenOf } from './findings.ts'

/** What happened to a part number's characteristics, and what changed in the process there. */
export function eventsView(store: Store, partNumber: PartNumber, stage: Stage): Promise<EventsView> {
  return kept(store, `events ${partNumber.id} ${stage}`, () => computeEvents(store, partNumber, stage))
}

async function computeEvents(store: Store, partNumber: PartNumber, stage: Stage): Promise<EventsView> {
  const [characteristics, timeline, loads, cells] = await Promise.all([
    store.characteristics(partNumber.id),
    store.builds(partNumber.id, stage),
    store.loadsOf(partNumber.id, stage),
    store.cells(partNumber.id, stage),
  ])
  const [studies, written] = await Promise.all([
    studiesOf(store, partNumber.id, stage, timeline),
    writtenOf(store, partNumber.id, stage, characteristics, timeline),
  ])
  const grouped = cellsByCharacteristic(cells)
  const charted = characteristics.flatMap((characteristic) => {
    const own = grouped.get(characteristic.id)
    if (own === undefined) return []
    return [{ characteristic, chart: buildChart(studies.of(characteristic.id).study, own, timeline) }]
  })
  const gauges = new Map(timeline.map((build) => [build.id, build.gauges]))
  const builds = buildConditions(timeline, loads, cells, gauges)
  const { events, bare } = detectEvents({ charted, builds })
  const chartOf = new Map(charted.map(({ characteristic, chart }) => [characteristic.id, chart]))
  const views = events.map((event): EventView => {
    const conditions = rankConditions(event, builds)
    return {
      kind: event.kind,
      ...eventWords({ event, ranked: conditions, characteristics, builds: timeline }),
      from: event.from,
      plausible: event.plausible,
      to: event.to,
      standing: event.standing,
      members: event.members.map(({ characteristic, shift, percent, scatter, signals }) => ({
        designator: characteristic.designator,
        name: characteristic.name,
        unit: characteristic.unit,
        shift,
        percent,
        scatter,
        signals: signals.length,
      })),
      conditions,
      confinedTo: event.confinedTo,
      answer: answerOf(event, written),
      forecast: soonest(event, chartOf, builds),
    }
  })
  views.sort((a, b) => Number(b.standing) - Number(a.standing) || b.from - a.from)
  const opening = openingEvent(views, timeline.length)
  const expectedByChance = charted.reduce(
    (sum, { chart }) =>
      chart.inControlRunLength === null ? sum : sum + chart.subgroups.length / chart.inControlRunLength,
    0,
  )
  const lead = opening === null ? undefined : views[opening]
  const { headline, grounds } =
    lead === undefined
      ? quietWords({
          charted,
          answered: views.flatMap(({ answer, members, ...event }) =>
            answer !== null && isNews(event, timeline.length) ? [{ answer, members }] : [],
          ),
          bare: bare.filter(
            ({ characteristic, signal }) =>
              answerTo(signal.points, written.answers(characteristic.designator)) === null,
          ),
          builds: timeline,
          expectedByChance,
        })
      : { headline: lead.sentence, grounds: lead.grounds }
  return {
    buildNames: timeline.map(({ name }) => name),
    events: views,
    opening,
    headline,
    grounds,
    level: EVENT_LEVEL,
    bareSignals: bare.length,
    expectedByChance,
  }
}

/** The latest of the findings that answer it, where every member is answered. */
function answerOf(event: ProcessEvent, written: Written): number | null {
  const points = Array.from({ length: event.to - event.from + 1 }, (_, i) => event.from + i)
  const answers = event.members.map(({ characteristic }) =>
    answerTo(points, written.answers(characteristic.designator)),
  )
  return answers.includes(null) ? null : Math.max(...(answers as number[]))
}

/** Of the members of a drift, the one that reaches its limit of specification first. */
function soonest(
  event: ProcessEvent,
  chartOf: ReadonlyMap<number, ChartModel>,
  builds: readonly BuildConditions[],
): EventView['forecast'] {
  const last = builds.length - 1
  let first: EventView['forecast'] = null
  for (const member of event.members) {
    const found = forecast(event, member, chartOf.get(member.characteristic.id) as ChartModel, builds, {
      reach: 'limit',
    })
    if (!isForecast(found) || (found.at === null && !found.reached)) continue
    const candidate = forecastOf(member, found, last)
    if (first === null || (candidate.inBuilds ?? 0) < (first.inBuilds ?? 0)) first = candidate
  }
  return first
}

function forecastOf(
  member: EventMember,
  found: {
    side: 'lower' | 'upper'
    at: number | null
    earliest: number | null
    latest: number | null
    reached: boolean
  },
  last: number,
): NonNullable<EventView['forecast']> {
  const after = (position: number | null) => (position === null ? null : Math.max(0, position - last))
  const ahead = {
    side: found.side,
    inBuilds: after(found.at),
    earliest: after(found.earliest),
    latest: after(found.latest),
    reached: found.reached,
  }
  return {
    designator: member.characteristic.designator,
    ...ahead,
    words: forecastWords(member.characteristic, ahead),
  }
}
