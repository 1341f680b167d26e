import type { Stage } from '../../src/domain/cell.ts'
import { type EventMark, recogniseEvents } from '../../src/events/event-mark.ts'
import { isNews } from '../../src/events/opening.ts'
import { plain } from '../../src/words/sentence.ts'
import type { EventNoticeContent } from '../contract/event-notices.ts'
import type { EventView, PartNumber, TimelineBuild } from '../contract/views.ts'
import type { KnownEvent } from '../store/event-notice-reads.ts'
import type { SeriesNews } from '../store/event-notice-writes.ts'

/** What is known and what is seen of one part number at one stage. */
export interface SeriesLook {
  readonly partNumber: PartNumber
  readonly stage: Stage
  readonly builds: readonly TimelineBuild[]
  readonly events: readonly EventView[]
  /** False at the first look, which finds out what there is and gives notice of nothing. */
  readonly watched: boolean
  readonly known: readonly KnownEvent[]
  /** As `EventNoticeReads.takenOrDecided`. */
  readonly basis: number
}

/**
 * What is to be written after a look; null where nothing has changed. Notice is given of an event once, when it is new.
 */
export function seriesNews(look: SeriesLook): SeriesNews | null {
  const { events, builds, watched, known, basis } = look
  const places = new Map(builds.map((build, position) => [build.id, position]))
  const located = known.flatMap((event) => {
    const mark = markOfKnown(event, places, builds.length)
    return mark === null || (event.state === 'resting' && event.basis !== basis) ? [] : [{ event, mark }]
  })
  const before = recogniseEvents(
    located.map(({ mark }) => mark),
    events.map(markOf),
    located.every(({ event }) => event.basis === basis),
  )
  const changed: KnownEvent[] = []
  const found: SeriesNews['found'][number][] = []
  const recognised = new Set<number>()
  for (const [i, view] of events.entries()) {
    const then = before[i] === null ? null : (located[before[i] as number]?.event ?? null)
    const now = { ...knownBy(view, builds), state: 'seen' as const, basis }
    if (then === null) {
      const news = watched && view.answer === null && isNews(view, builds.length)
      found.push({ event: now, notice: news ? contentOf(look, view) : null })
    } else {
      recognised.add(then.id)
      if (differs(then, now)) changed.push({ ...now, id: then.id })
    }
  }
  for (const event of known) {
    if (recognised.has(event.id)) continue
    const state = event.basis === basis ? 'resting' : 'gone'
    if (state !== event.state) changed.push({ ...event, state })
  }
  return watched && changed.length === 0 && found.length === 0 ? null : { opens: !watched, changed, found }
}

function markOf(view: EventView): EventMark {
  return {
    aspect: aspectOf(view),
    characteristics: view.members.map(({ designator }) => designator),
    from: view.from,
    earliest: Math.min(view.from, ...view.plausible),
    latest: Math.max(view.from, ...view.plausible),
    to: view.to,
  }
}

/** Null where the build that it began with is not on the timeline any more. */
function markOfKnown(
  event: KnownEvent,
  places: ReadonlyMap<number, number>,
  total: number,
): EventMark | null {
  const from = places.get(event.from)
  if (from === undefined) return null
  return {
    aspect: event.aspect,
    characteristics: event.characteristics,
    from,
    earliest: places.get(event.earliest) ?? from,
    latest: places.get(event.latest) ?? from,
    to: (event.to === null ? null : places.get(event.to)) ?? total - 1,
  }
}

function knownBy(view: EventView, builds: readonly TimelineBuild[]) {
  const { earliest, latest, ...mark } = markOf(view)
  const id = (position: number) => (builds[position] as TimelineBuild).id
  return {
    aspect: mark.aspect,
    characteristics: mark.characteristics,
    from: id(view.from),
    earliest: id(earliest),
    latest: id(latest),
    to: view.standing ? null : id(view.to),
  }
}

/** The location moved unless only the scatter is out of order. */
function aspectOf({ members }: EventView): EventMark['aspect'] {
  return members.every(({ shift }) => shift === null) ? 'scatter' : 'location'
}

function differs(a: Omit<KnownEvent, 'id'>, b: Omit<KnownEvent, 'id'>): boolean {
  const text = ({
    aspect,
    characteristics,
    from,
    earliest,
    latest,
    to,
    state,
    basis,
  }: Omit<KnownEvent, 'id'>) =>
    JSON.stringify([aspect, characteristics, from, earliest, latest, to, state, basis])
  return text(a) !== text(b)
}

function contentOf({ partNumber, stage, builds }: SeriesLook, view: EventView): EventNoticeContent {
  const { number, revision, name } = partNumber
  const build = (position: number) => (builds[position] as TimelineBuild).name
  return {
    kind: 'event',
    partNumber: { number, revision, name },
    stage,
    event: view.kind,
    sentence: plain(view.sentence),
    grounds: plain(view.grounds),
    forecast: view.forecast === null ? null : plain(view.forecast.words),
    from: build(view.from),
    to: view.standing ? null : build(view.to),
    characteristics: view.members.map(({ designator, name }) => ({ designator, name })),
  }
}
