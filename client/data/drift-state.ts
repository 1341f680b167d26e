import type { DriftView, EventsView, EventView } from '../../server/contract/views.ts'
import { type StandingChange, standingChange } from '../../src/events/standing-change.ts'
import type { MovedBand } from '../../src/figures/moved-band.tsx'
import { type RowOrder, sortRows } from '../../src/figures/strip-layout.ts'
import type { OverviewRow } from '../../src/overview/overview.ts'

/** What the address says about the drift page, with defaults where it says nothing that can be used. */
export interface DriftState {
  readonly stage: 'green' | 'sintered' | 'finished'
  readonly order: RowOrder
  /** How many of the last builds are in view; null for all. */
  readonly builds: number | null
  /** Name of the build whose values are open. */
  readonly build: string | null
  readonly specification: boolean
  /** Whether the running average is laid over the control chart. */
  readonly average: boolean
}

const DEFAULT_BUILDS = 60

export function driftState(query: Readonly<Record<string, string>>): DriftState {
  return {
    stage: stageIn(query),
    order:
      query.rows === 'worst' || query.rows === 'number' || query.rows === 'likeness' ? query.rows : 'axis',
    builds: buildsIn(query.builds),
    build: query.build ?? null,
    specification: query.specification === 'shown',
    average: query.average === 'shown',
  }
}

export function stageIn(query: Readonly<Record<string, string>>): DriftState['stage'] {
  return query.stage === 'green' || query.stage === 'finished' ? query.stage : 'sintered'
}

function buildsIn(text: string | undefined): number | null {
  if (text === 'all') return null
  const count = Number(text)
  return Number.isInteger(count) && count >= 2 ? count : DEFAULT_BUILDS
}

/** First and last position of the timeline in view. */
export function windowOf(total: number, builds: number | null): readonly [number, number] {
  return [builds === null ? 0 : Math.max(0, total - builds), Math.max(0, total - 1)]
}

/** Numbers of builds worth offering: the usual spans that are shorter than the record, then all. */
export function windowChoices(total: number): (number | null)[] {
  return [...[30, 60, 120, 300].filter((count) => count < total), null]
}

/** The characteristic whose chart is shown: as named, or else the one to look at first. */
export function chosenRow(view: DriftView, designator: string | undefined): OverviewRow | null {
  const { rows } = view.overview
  const named = rows.find((row) => row.characteristic.designator === designator)
  return named ?? sortRows(rows, 'worst')[0] ?? null
}

/** What stands for a characteristic; null where nothing does, or nothing is known yet. */
export function changeOf(events: EventsView | null, designator: string): StandingChange<EventView> | null {
  return standingChange(events?.events ?? [], (member) => member.designator === designator)
}

/**
 * Where a characteristic moved: the builds that the event which stands for it may have begun at or, where none does, the
 * first of its worst signal.
 */
export function movedBand(
  { worst }: OverviewRow,
  change: StandingChange<EventView> | null,
): MovedBand | null {
  if (change !== null) {
    const { plausible, from: at } = change.event
    const side = change.shift.value < 0 ? 'under' : 'over'
    return { from: plausible[0] ?? at, to: plausible.at(-1) ?? at, at, side }
  }
  const signal = worst?.signal
  const first = signal?.points[0]
  if (signal === undefined || first === undefined) return null
  const side = signal.panel !== 'location' ? 'neither' : signal.side === 'below' ? 'under' : 'over'
  return { from: first, to: first, at: first, side }
}

/** The row above or below another in the order that they are shown in. */
export function neighbourRow(
  rows: readonly OverviewRow[],
  order: RowOrder,
  from: OverviewRow,
  by: 1 | -1,
): OverviewRow {
  const sorted = sortRows(rows, order)
  const at = sorted.findIndex((row) => row.characteristic.id === from.characteristic.id)
  return sorted[Math.max(0, Math.min(sorted.length - 1, at + by))] ?? from
}

/** Asks for the event that stands for the characteristic in view, where no build of it is known. */
const STANDING = 'standing'

/** What of an address asks a page to open with the event that stands for its characteristic. */
export const OPEN_WITH_STANDING = `?kind=${STANDING}`

/** What an address says of the event that a page is to open with. */
export interface NamedEvent {
  /** A build that it may have begun with, and one of its characteristics. */
  readonly build: string | undefined
  readonly designator: string | undefined
  /** Tells events that began together apart; an event may change its kind as it goes on. */
  readonly kind: string | undefined
}

/** Position of the event that an address names; null where it names none, or none that is on record any more. */
export function namedEvent(
  drift: DriftView,
  view: EventsView,
  { build, designator, kind }: NamedEvent,
): number | null {
  const { events } = view
  if (build === undefined && kind === STANDING && designator !== undefined) {
    const change = changeOf(view, designator)
    return change === null ? null : events.indexOf(change.event)
  }
  const position = drift.builds.findIndex(({ name }) => name === build)
  if (build === undefined || position === -1) return null
  const fit = events.filter(
    (event) =>
      (event.from === position || event.plausible.includes(position)) &&
      event.members.some((member) => member.designator === designator),
  )
  const found = fit.find((event) => event.kind === kind) ?? fit[0]
  return found === undefined ? null : events.indexOf(found)
}
