import type { Signal } from '../charts/model.ts'
import { chiSquareQuantile, chiSquareUpperQuantile } from '../distributions/chi-square.ts'
import type { Axis } from '../domain/characteristic.ts'
import { ArgumentError } from '../errors.ts'
import type { BuildConditions } from './build-conditions.ts'
import type { Component } from './component.ts'
import { alternatingValues, conditionTracks } from './condition-track.ts'
import { plausibleStarts, sizeOf, tellsForm } from './estimate.ts'
import type { BareSignal, Estimate, EventKind, EventMember, ProcessEvent } from './event.ts'
import { outlierOf } from './outlier.ts'
import { belongsTo, type Finding, searchAll } from './search-all.ts'
import { type ChartedCharacteristic, type SearchInput, searchInput } from './search-input.ts'
import { endOf, fitSeries, type Quantity, type Series, without } from './series.ts'

export interface EventsInput {
  /** Characteristics of one part number with their charts over the same builds. */
  readonly charted: readonly ChartedCharacteristic[]
  /** The timeline; every subgroup of the charts stands for one of its builds. */
  readonly builds: readonly BuildConditions[]
  /**
   * Chance of any event at all in a record where nothing happened; `EVENT_LEVEL` unless given. Where several records
   * are looked at side by side, the chances add up.
   */
  readonly level?: number
}

/** One false event in fifty records where nothing happened, at the most. */
export const EVENT_LEVEL = 0.02

export interface Events {
  /** In the order of their change points. */
  readonly events: readonly ProcessEvent[]
  /** Signals that amount to no event. */
  readonly bare: readonly BareSignal[]
}

/**
 * What happened to a part number: signals of one or several characteristics that began together, shown as one event.
 *
 * That something is there is said by the tests for signals, and by a second condition that keeps the chance of any
 * false event in the whole record at `level`: somewhere on the side and among the builds of the change a member of the
 * event has a signal, and Student's t of the change passes a limit divided over every place, shape and series looked at
 * (Bonferroni's inequality, which holds however the series depend on each other). The signals alone would not do:
 * dozens of charts with a false alarm each hundred builds are never silent. A signal without an event stays listed as
 * bare. The level holds for builds that scatter independently and normally around their level.
 *
 * When it began and how large it is come from a search phase by phase. Series are the build means of every
 * characteristic, the common series of all sizes along an axis, and that of all sizes (`pooledSeries` says how members
 * are combined); and the same for the scatter inside builds. In each the change that explains most is found: a jump or
 * a ramp that lasts, a passing jump, a single build, or a jump or ramp confined to one value of a condition that comes
 * and goes. A change of a common series counts where at least half of its members show it themselves, and one of all
 * sizes where every axis does. It is taken off the members, and off sizes without an axis that are seen to share in it,
 * and the search goes on with what is left, so that several changes on one chart are told apart. The places of all
 * changes of a series are refined in turn. This is matching pursuit over cumulative sums, in time proportional to the
 * number of builds but for the passing jumps, which take a logarithm more. A phase of any characteristic is a boundary
 * for all.
 *
 * @throws ArgumentError where the level is out of range, or a chart has a build that is not on the timeline
 */
export function detectEvents({ charted, builds, level = EVENT_LEVEL }: EventsInput): Events {
  if (!(level > 0 && level < 1)) throw new ArgumentError('level', `${level} is not between 0 and 1`)
  const input = searchInput(
    charted,
    builds.map(({ build }) => build.id),
  )
  const values = alternatingValues(conditionTracks(builds))
  const drafts = (['location', 'spread'] as const).flatMap((quantity) =>
    searchAll(input, quantity, level, values).map((finding) => draft(input, finding)),
  )
  const events = merged(drafts)
    .map((group) => eventOf(input, group))
    .sort((a, b) => a.from - b.from)
  return { events, bare: bareSignals(input, events) }
}

/** A finding with what decides whether it is one event with another. */
interface Draft {
  readonly finding: Finding
  readonly plausible: readonly number[]
  readonly standing: boolean
  readonly single: boolean
}

function draft(input: SearchInput, finding: Finding): Draft {
  const { component, series } = finding
  const lasts = component.to === endOf(series)
  return {
    finding,
    plausible: plausibleStarts(series, component),
    standing: lasts && component.to === input.length - 1 && component.from < component.to,
    single: component.from === component.to,
  }
}

function merged(drafts: readonly Draft[]): Draft[][] {
  const groups: Draft[][] = []
  for (const item of drafts) {
    const group = groups.find((candidate) => candidate.some((other) => together(item, other)))
    if (group === undefined) groups.push([item])
    else group.push(item)
  }
  return groups
}

/**
 * Changes are one event where each may have begun where the other did, and they take the same course. A build that
 * stands out in both location and scatter of the same characteristics is one event too.
 */
function together(a: Draft, b: Draft): boolean {
  const [one, other] = [a.finding, b.finding]
  if (one.series.quantity !== other.series.quantity) {
    const shared = one.shownBy.some(({ members }) =>
      other.shownBy.some((series) => series.members[0] === members[0]),
    )
    return a.single && b.single && shared && one.component.from === other.component.from
  }
  return (
    one.component.form === other.component.form &&
    one.component.value === other.component.value &&
    a.standing === b.standing &&
    a.single === b.single &&
    a.plausible.includes(other.component.from) &&
    b.plausible.includes(one.component.from)
  )
}

function eventOf(input: SearchInput, group: readonly Draft[]): ProcessEvent {
  const lead = leadOf(group)
  const { component, series } = lead.finding
  const drafted = membersOf(input, group)
  // Far values are no news in a build that scatters in other characteristics too.
  const outliersOnly = drafted.every(({ outlier, scatter }) => scatter !== null && outlier !== null)
  const members = outliersOnly ? drafted : drafted.map((member) => ({ ...member, outlier: null }))
  const common = group.filter(({ finding }) => finding.series.pooled)
  const percent =
    series.quantity === 'location' && series.pooled && common.length === 1
      ? sizeOf(series, component, lead.plausible)
      : null
  const fit = fitSeries(series)
  return {
    kind: kindOf(lead, members),
    axis: axisOf(members),
    members,
    percent: percent ?? (members.length === 1 ? (members[0] as EventMember).percent : null),
    from: component.from,
    plausible: lead.plausible,
    to: component.to,
    standing: lead.standing,
    sureOfForm: series.quantity === 'spread' || lead.single || tellsForm(series, component),
    confinedTo:
      component.value === null
        ? null
        : { condition: component.value.condition, value: component.value.value },
    trace: {
      start: series.start,
      values: without(series, fit, component).residuals,
      weights: series.weights,
    },
  }
}

/**
 * The draft that a merged event's change point is taken from: the one that knows it best. Each has a 95 % set of
 * its own; they are not intersected, since the series depend on each other.
 */
function leadOf(group: readonly Draft[]): Draft {
  return group.reduce((best, item) => {
    if (item.finding.series.pooled !== best.finding.series.pooled)
      return item.finding.series.pooled ? item : best
    return item.plausible.length < best.plausible.length ? item : best
  })
}

function kindOf({ finding, single }: Draft, members: readonly EventMember[]): EventKind {
  if (finding.series.quantity === 'spread') {
    return members.every(({ outlier }) => outlier !== null) ? 'single' : 'spread'
  }
  if (single) return 'single'
  return finding.component.form === 'flat' ? 'level' : 'drift'
}

function axisOf(members: readonly EventMember[]): Axis | null {
  const axes = new Set(members.flatMap(({ characteristic: { axis } }) => (axis === null ? [] : [axis])))
  return axes.size === 1 ? ([...axes][0] as Axis) : null
}

function membersOf(input: SearchInput, group: readonly Draft[]): EventMember[] {
  const parts = new Map<number, { shift: [Series, Draft] | null; scatter: [Series, Draft] | null }>()
  for (const item of group) {
    for (const series of item.finding.shownBy) {
      const at = series.members[0] as number
      const part = parts.get(at) ?? { shift: null, scatter: null }
      if (series.quantity === 'location') part.shift ??= [series, item]
      else part.scatter ??= [series, item]
      parts.set(at, part)
    }
  }
  return [...parts]
    .sort(([a], [b]) => a - b)
    .map(([at, { shift, scatter }]): EventMember => {
      const { characteristic } = input.charted[at] as ChartedCharacteristic
      const size = shift === null ? null : sizeOf(shift[0], shift[1].finding.component, shift[1].plausible)
      const found = [shift, scatter].filter((part) => part !== null).map(toExplain)
      return {
        characteristic,
        shift: size,
        percent: size === null ? null : inPercent(size, characteristic.nominal),
        scatter: scatter === null ? null : scatterOf(input, at, scatter[1].finding.component),
        outlier: scatter === null ? null : outlierIn(input, at, scatter[1].finding.component),
        signals: (input.signals[at] ?? []).filter((signal) =>
          found.some((change) => explains(change, signal)),
        ),
      }
    })
}

/** A change as one characteristic shows it. */
interface ShownChange {
  readonly quantity: Quantity
  readonly component: Component
  readonly plausible: readonly number[]
  readonly size: number
}

function toExplain([series, { finding, plausible }]: readonly [Series, Draft]): ShownChange {
  const { component } = finding
  const size = fitSeries(series).coefficients[series.components.indexOf(component)] as number
  return { quantity: series.quantity, component, plausible, size }
}

/** Whether a change explains a signal of the characteristic: the step there and back included. */
function explains({ quantity, component, plausible, size }: ShownChange, signal: Signal): boolean {
  if (belongsTo(signal, quantity, component, size)) return true
  if (signal.panel !== 'moving-range' || quantity !== 'location') return false
  const first = plausible[0] as number
  const last = plausible[plausible.length - 1] as number
  return signal.points.some((point) => (point >= first && point <= last) || point === component.to + 1)
}

function inPercent({ value, lower, upper }: Estimate, nominal: number | null): Estimate | null {
  if (nominal === null || !(nominal > 0)) return null
  const unit = 100 / nominal
  return { value: unit * value, lower: unit * lower, upper: unit * upper }
}

/**
 * Pooled standard deviation inside the builds of the change over that of the baseline, with the 95 % interval of a
 * standard deviation by chi-square; the baseline's own doubt, much the smaller, is left out.
 */
function scatterOf(
  input: SearchInput,
  member: number,
  { from, to }: { from: number; to: number },
): Estimate | null {
  const { chart, positions } = input.timed[member] as SearchInput['timed'][number]
  let squares = 0
  let df = 0
  for (const phase of chart.phases) {
    if (phase.sigmaWithin === null || phase.sigmaWithin === 0) continue
    for (let i = phase.from; i <= phase.to; i++) {
      const at = positions[i] as number
      const { sd, n, leftOut } = chart.subgroups[i] as (typeof chart.subgroups)[number]
      if (at < from || at > to || sd === null || leftOut) continue
      squares += (n - 1) * (sd / phase.sigmaWithin) ** 2
      df += n - 1
    }
  }
  if (df === 0) return null
  return {
    value: Math.sqrt(squares / df),
    lower: Math.sqrt(squares / chiSquareUpperQuantile(0.025, df)),
    upper: Math.sqrt(squares / chiSquareQuantile(0.025, df)),
  }
}

function outlierIn(input: SearchInput, member: number, { from, to }: { from: number; to: number }) {
  if (from !== to) return null
  const { chart, positions } = input.timed[member] as SearchInput['timed'][number]
  const at = positions.indexOf(from)
  const subgroup = chart.subgroups[at]
  const sigma = chart.phases.find((phase) => at >= phase.from && at <= phase.to)?.sigmaWithin ?? null
  return subgroup === undefined || sigma === null || sigma === 0 ? null : outlierOf(subgroup, sigma)
}

function bareSignals(input: SearchInput, events: readonly ProcessEvent[]): BareSignal[] {
  const explained = new Set(events.flatMap(({ members }) => members.flatMap(({ signals }) => signals)))
  return input.charted.flatMap(({ characteristic }, i) =>
    (input.signals[i] ?? [])
      .filter((signal) => !explained.has(signal))
      .map((signal) => ({ characteristic, signal })),
  )
}
