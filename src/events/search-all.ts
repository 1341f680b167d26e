import type { Signal } from '../charts/model.ts'
import type { Component } from './component.ts'
import type { ConditionValue } from './condition-track.ts'
import { explainsMore } from './estimate.ts'
import { type Budget, budgetOf, joinCancelling, type Proposal, propose, refine, studentOf } from './search.ts'
import {
  characteristicOf,
  isSize,
  type PhaseSeries,
  type SearchInput,
  seriesOfPhase,
} from './search-input.ts'
import { fitSeries, type Quantity, type Series } from './series.ts'

/** A change found: the series that it was found in, and the single series that show it. */
export interface Finding {
  readonly component: Component
  readonly series: Series
  readonly shownBy: readonly Series[]
}

/** How the permitted chance of a false event is divided between common and single series, location and spread. */
const LEVEL_SHARES = { location: { pooled: 0.4, single: 0.3 }, spread: { pooled: 0.1, single: 0.2 } }

/** Student's t beyond which a characteristic that may share in a change is taken to. */
const SHARES_BEYOND = 3
/** The same for each axis, where a change is said to be along all of them, and for each member of an axis. */
const SHOWS_BEYOND = 2

/** All changes of location or spread, phase by phase, at the given level over the whole record. */
export function searchAll(
  input: SearchInput,
  quantity: Quantity,
  level: number,
  values: readonly ConditionValue[],
): Finding[] {
  const phases = input.boundaries.map((start, i) => seriesOfPhase(input, quantity, start, i))
  const pooled = phases.flatMap((phase) => phase.pooled)
  const singles = phases.flatMap((phase) => phase.singles)
  const shares = LEVEL_SHARES[quantity]
  const confinedTo = quantity === 'location' ? values : []
  const pooledBudget = budgetOf(level * shares.pooled, pooled, confinedTo.length)
  const singleBudget = budgetOf(level * shares.single, singles, confinedTo.length)
  return phases.flatMap((phase) => {
    const findings = searchPooled(input, phase, pooledBudget, confinedTo)
    return [...findings, ...searchSingles(input, phase, singleBudget, confinedTo)]
  })
}

/** Changes of several characteristics at once: of an axis, of all sizes. */
function searchPooled(
  input: SearchInput,
  { pooled, singles }: PhaseSeries,
  budget: Budget,
  values: readonly ConditionValue[],
): Finding[] {
  const found: { component: Component; series: Series }[] = []
  const asked = new Map<Series, Proposal | null>()
  const refused = new Set<Series>()
  for (;;) {
    for (const series of pooled) if (!asked.has(series)) asked.set(series, propose(series, budget, values))
    let best: { series: Series; proposal: Proposal } | null = null
    for (const [series, proposal] of asked) {
      if (proposal === null || refused.has(series)) continue
      if (best === null || proposal.score > best.proposal.score) best = { series, proposal }
    }
    if (best === null || found.length >= MOST_CHANGES) break
    const { series, proposal } = best
    const { component } = proposal
    const within = inside(pooled, series)
    const common = alongAllAxes(within, proposal, asked) && shownByMost(singles, series, proposal)
    if (!common || !signalled(input, series, proposal)) {
      refused.add(series)
      continue
    }
    series.components.push(component)
    found.push({ component, series })
    refine(
      series,
      found.filter((other) => other.series === series).map((other) => other.component),
    )
    for (const other of [...pooled, ...singles]) {
      if (other !== series && concerned(input, other, series, component)) other.components.push(component)
    }
    // Whatever the change was taken off may look different now.
    for (const other of pooled) {
      if (!other.components.includes(component)) continue
      asked.delete(other)
      refused.delete(other)
    }
  }
  for (const series of pooled) {
    const own = found.filter((other) => other.series === series).map(({ component }) => component)
    refine(series, own, FORMS)
    for (let gone = joinCancelling(series, own); gone !== null; gone = joinCancelling(series, own)) {
      const fallen = gone
      own.splice(own.indexOf(fallen), 1)
      for (const other of [...pooled, ...singles]) {
        other.components = other.components.filter((component) => component !== fallen)
      }
      found.splice(
        found.findIndex(({ component }) => component === fallen),
        1,
      )
    }
  }
  for (const single of singles) shed(input, single, found)
  return found.map(({ component, series }) => ({
    component,
    series,
    shownBy: singles.filter((single) => single.components.includes(component)),
  }))
}

const FORMS = ['flat', 'ramp'] as const

/** Changes in one series and phase beyond this are no longer told apart. */
const MOST_CHANGES = 25

/** Whether at least half of the members show a change of their common series themselves, and two at least. */
function shownByMost(singles: readonly Series[], series: Series, { component, sign }: Proposal): boolean {
  const members = singles.filter((single) => series.members.includes(single.members[0] as number))
  const showing = members.filter((single) => {
    const t = studentOf(single, [...single.components, component]).at(-1) as number
    return t * sign > SHOWS_BEYOND
  })
  return showing.length >= Math.max(2, members.length / 2)
}

/** Common series of fewer characteristics, all of which are members of this one. */
function inside(pooled: readonly Series[], series: Series): Series[] {
  const members = new Set(series.members)
  return pooled.filter((other) => other !== series && other.members.every((member) => members.has(member)))
}

/**
 * Whether a change of all sizes is seen along every axis, on the same side, and no axis alone tells of another change
 * that it explains much better: two axes that moved at different times are not one event.
 */
function alongAllAxes(
  axes: readonly Series[],
  { component, sign }: Proposal,
  asked: ReadonlyMap<Series, Proposal | null>,
): boolean {
  return axes.every((axis) => {
    const withCommon = [...axis.components, component]
    const t = studentOf(axis, withCommon).at(-1) as number
    if (!(t * sign > SHOWS_BEYOND)) return false
    const own = asked.get(axis)?.component
    return own === undefined || !explainsMore(axis, own, component)
  })
}

/**
 * Whether a change found in `from` belongs in `other`: in the members of a common series and in the common series that
 * hold them, and in sizes without an axis, such as diameters, where they are seen to share in it.
 */
function concerned(input: SearchInput, other: Series, from: Series, component: Component): boolean {
  if (other.pooled) return other.members.some((member) => from.members.includes(member))
  const member = other.members[0] as number
  if (from.members.includes(member)) return true
  const characteristic = characteristicOf(input.charted, other)
  return characteristic.axis === null && isSize(characteristic) && sharesIn(other, from, component)
}

function sharesIn(single: Series, from: Series, component: Component): boolean {
  const own = single.components.filter((other) => other !== component)
  const t = studentOf(single, [...own, component]).at(-1) as number
  const common = studentOf(from, from.components)[from.components.indexOf(component)] as number
  return t * Math.sign(common) > SHARES_BEYOND
}

/** Takes changes off a single series again that it turns out not to share in, now that all are known. */
function shed(
  input: SearchInput,
  single: Series,
  found: readonly { readonly component: Component; readonly series: Series }[],
): void {
  const member = single.members[0] as number
  const { axis } = characteristicOf(input.charted, single)
  for (const { component, series } of found) {
    if (!single.components.includes(component)) continue
    const alongItsAxis = series.quantity === 'location' && axis !== null && series.members.includes(member)
    const shares = alongItsAxis
      ? !standsStill(input, single, series, component)
      : sharesIn(single, series, component)
    if (!shares) single.components = single.components.filter((other) => other !== component)
  }
}

/** Whether a member of an axis may not have moved at all, and surely by less than half of what the others did. */
function standsStill(input: SearchInput, single: Series, series: Series, component: Component): boolean {
  const { nominal } = characteristicOf(input.charted, single)
  const own = fitSeries(single)
  const common = fitSeries(series).coefficients[series.components.indexOf(component)] as number
  const k = single.components.indexOf(component)
  const unit = 100 / (nominal as number)
  const size = unit * (own.coefficients[k] as number)
  const error = unit * Math.sqrt((own.squares / own.df) * (own.variances[k] as number))
  const sign = Math.sign(common)
  return sign * size < SHOWS_BEYOND * error && sign * size + SHOWS_BEYOND * error < Math.abs(common) / 2
}

/**
 * Changes that one characteristic shows alone. One confined to a value of a condition is looked for here only where no
 * common series of its axis was looked through for it already. Changes known
 * from a common series stay where that series put them.
 */
function searchSingles(
  input: SearchInput,
  { pooled, singles }: PhaseSeries,
  budget: Budget,
  values: readonly ConditionValue[],
): Finding[] {
  return singles.flatMap((series) => {
    const confinedTo =
      characteristicOf(input.charted, series).axis !== null &&
      pooled.some(({ members }) => members.includes(series.members[0] as number))
        ? []
        : values
    let own: Component[] = []
    while (own.length < MOST_CHANGES) {
      const proposal = propose(series, budget, confinedTo)
      if (proposal === null || !signalled(input, series, proposal)) break
      own.push(proposal.component)
      series.components.push(proposal.component)
      refine(series, own)
    }
    refine(series, own, FORMS)
    for (let gone = joinCancelling(series, own); gone !== null; gone = joinCancelling(series, own)) {
      const fallen = gone
      own = own.filter((component) => component !== fallen)
    }
    return own.map((component) => ({ component, series, shownBy: [series] }))
  })
}

/** Whether one of the members has a signal, on the side of the change, among the builds that it concerns. */
function signalled(
  { signals }: SearchInput,
  { members, quantity }: Series,
  { component, sign }: Proposal,
): boolean {
  return members.some((member) =>
    signals[member]?.some((signal) => belongsTo(signal, quantity, component, sign)),
  )
}

/** Whether a signal, its points being positions on the timeline, is one that a change would raise. */
export function belongsTo(
  signal: Signal,
  quantity: Quantity,
  { from, to }: Component,
  sign: number,
): boolean {
  if (signal.panel !== quantity) return false
  if (signal.side !== 'either' && (signal.side === 'above') !== sign > 0) return false
  return signal.points.some((point) => point >= from && point <= to)
}
