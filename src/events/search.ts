import { studentUpper } from '../distributions/student.ts'
import { type Component, componentAt } from './component.ts'
import type { ConditionValue } from './condition-track.ts'
import { ONE_PARAMETER } from './estimate.ts'
import {
  bestCommon,
  bestLasting,
  type Gain,
  gainsByEnd,
  gainsByStart,
  passingLengths,
  placeOfMaximum,
} from './scan.ts'
import { endOf, fitSeries, type Series, type SeriesFit, without } from './series.ts'
import type { Residuals } from './sums.ts'

/** Largest probability, for one place and shape, at which a change of that shape is accepted. */
export interface Budget {
  readonly lasting: number
  readonly passing: number
  readonly confined: number
}

/** How the permitted chance of a false event is divided among the shapes of changes. */
const SHAPE_SHARES: Budget = { lasting: 0.5, passing: 0.25, confined: 0.25 }

/**
 * Divides a level over everything that will be tried in a set of series (Bonferroni's inequality), so that the chance
 * of accepting any change in series without one is at most the level, however the series depend on each other.
 */
export function budgetOf(level: number, series: readonly Series[], confinedValues: number): Budget {
  let lasting = 0
  let passing = 0
  for (const { n } of series) {
    lasting += 2 * n
    passing += n * passingLengths(n).length
  }
  return {
    lasting: (level * SHAPE_SHARES.lasting) / lasting,
    passing: (level * SHAPE_SHARES.passing) / passing,
    confined: (level * SHAPE_SHARES.confined) / (lasting * Math.max(1, confinedValues)),
  }
}

/** A change that passed its test, and how much likelier it makes the series than its budget asks. */
export interface Proposal {
  readonly component: Component
  readonly score: number
  /** Sign of the change. */
  readonly sign: 1 | -1
}

/** Values that a series must have to be looked through. */
const LEAST_VALUES = 8

/**
 * What a ramp is given or takes in log likelihood when it is weighed against a jump. A process moves at once where
 * something was changed, and everything that is made feels it; one furnace, printer or gauge among others moves
 * little by little, as it wears. Where the values tell the two apart by less, this decides.
 */
const HEAD_START = 2

function headStart({ form, value }: Component): number {
  if (form === 'flat') return 0
  return value === null ? -HEAD_START : HEAD_START
}

/**
 * The change that the series asks for most, given those already in it: Student's t of its size, two-sided, at the best
 * place, against the budget of its shape. Null where none passes.
 */
export function propose(series: Series, budget: Budget, values: readonly ConditionValue[]): Proposal | null {
  if (series.n < LEAST_VALUES) return null
  const fit = fitSeries(series)
  // A series without scatter has no t: it has moved where it has moved at all.
  if (fit.squares <= 0) return null
  let best: { gain: Gain; score: number; limit: number } | null = null
  const consider = (gain: Gain | null, limit: number) => {
    if (gain === null) return
    const likelihood = (series.n / 2) * Math.log((gain.left + gain.squares) / gain.left)
    const score = likelihood + Math.log(limit) + headStart(gain.component)
    if (best === null || score > best.score) best = { gain, score, limit }
  }
  const { lasting, passing } = bestCommon(fit)
  for (const gain of lasting) consider(gain, budget.lasting)
  consider(passing, budget.passing)
  for (const value of values) {
    for (const gain of bestLasting(fit, value)) consider(gain, budget.confined)
  }
  if (best === null) return null
  const { gain, score, limit } = best as { gain: Gain; score: number; limit: number }
  const df = fit.df - 2
  if (df < 1) return null
  const t = Math.sqrt((gain.squares * df) / gain.left)
  if (gain.left > 0 && 2 * studentUpper(t, df) > limit) return null
  const component = firstOfStairs(series, gain.component) ?? gain.component
  return { component, score, sign: signOf(fit, component) }
}

/** Jumps that are tried in the place of a ramp. */
const MOST_STAIRS = 6

/**
 * A long flight of jumps to one side looks like a ramp as long as one piece only is fitted. Where jumps, one after the
 * other, explain more than the ramp by Bayes' information criterion (two parameters each), the largest of them is
 * the better next change; null where they do not.
 */
function firstOfStairs(series: Series, ramp: Component): Component | null {
  if (ramp.form !== 'ramp' || ramp.value !== null) return null
  const criterion = (components: readonly Component[]) =>
    series.n * Math.log(fitSeries(series, components).squares) + 2 * components.length * Math.log(series.n)
  const stairs: Series = { ...series, components: [...series.components] }
  const ramped: Series = { ...series, components: [...series.components, { ...ramp }] }
  refine(ramped, ramped.components.slice(-1))
  const wanted = criterion(ramped.components)
  const own: Component[] = []
  while (own.length < MOST_STAIRS) {
    const flat = bestCommon(fitSeries(stairs)).lasting.find(({ component }) => component.form === 'flat')
    if (flat === undefined) return null
    own.push(flat.component)
    stairs.components = [...series.components, ...own]
    refine(stairs, own)
    if (own.length > 1 && criterion(stairs.components) < wanted) {
      const t = studentOf(stairs, stairs.components).slice(series.components.length)
      const largest = t.reduce(
        (best, value, i) => (Math.abs(value) > Math.abs(t[best] as number) ? i : best),
        0,
      )
      return own[largest] as Component
    }
  }
  return null
}

function signOf({ start, residuals, weights }: Residuals, component: Component): 1 | -1 {
  let inside = 0
  let insideWeight = 0
  let outside = 0
  let outsideWeight = 0
  for (let i = 0; i < residuals.length; i++) {
    const x = componentAt(component, start + i) * (weights[i] as number)
    inside += x * (residuals[i] as number)
    insideWeight += x
    if (x === 0) {
      outside += (weights[i] as number) * (residuals[i] as number)
      outsideWeight += weights[i] as number
    }
  }
  return inside / insideWeight >= (outsideWeight === 0 ? 0 : outside / outsideWeight) ? 1 : -1
}

/** Rounds of refinement; places seldom move after the second. */
const ROUNDS = 3

/**
 * Moves start and end of changes in the series to where they explain most, each in turn with the others kept; and
 * chooses among forms, which is to be done only once all changes are known: a lone piece of a staircase is a ramp. A
 * change that lasts to the end is given an end only where that explains it better by more than the logarithm of the
 * places that the end was chosen from.
 */
export function refine(
  series: Series,
  movable: readonly Component[],
  forms: readonly Component['form'][] | null = null,
): void {
  for (let round = 0; round < ROUNDS; round++) {
    let moved = false
    for (const component of movable) {
      const before = { ...component }
      refineOne(series, component, forms ?? [component.form])
      moved ||= before.from !== component.from || before.to !== component.to || before.form !== component.form
    }
    if (!moved) return
  }
}

function refineOne(series: Series, component: Component, forms: readonly Component['form'][]): void {
  const fit = fitSeries(series)
  const residuals = without(series, fit, component)
  const unit = (2 * fit.squares) / fit.df
  let best = Number.NEGATIVE_INFINITY
  for (const form of forms) {
    const candidate = { ...component, form }
    const gains = gainsByStart(residuals, candidate)
    const at = placeOfMaximum(gains)
    if (at === -1) continue
    const score = (gains[at] as number) + unit * headStart(candidate)
    if (!(score > best)) continue
    best = score
    component.form = form
    component.from = series.start + at
  }
  const gains = gainsByEnd(residuals, component)
  const end = series.values.length - 1
  const at = placeOfMaximum(gains)
  if (at === -1) return
  const whole = (gains[end] as number) || 0
  const dearer = ((gains[at] as number) - whole) / unit
  component.to = series.start + (dearer > Math.log(series.n) ? at : end)
}

/** Student's t of each component of the series, fitted together. */
export function studentOf(series: Series, components: readonly Component[]): number[] {
  const fit: SeriesFit = fitSeries(series, components)
  return components.map((_, k) => {
    const error = Math.sqrt((fit.squares / fit.df) * (fit.variances[k] as number))
    return error > 0 ? (fit.coefficients[k] as number) / error : 0
  })
}

/**
 * Joins two opposite jumps that cancel each other into one change that has ended, where that fits hardly worse.
 *
 * @returns the component that fell away, null where none did
 */
export function joinCancelling(series: Series, movable: readonly Component[]): Component | null {
  const end = endOf(series)
  const fit = fitSeries(series)
  const jumps = movable
    .filter(({ form, to }) => form === 'flat' && to === end)
    .sort((a, b) => a.from - b.from)
  for (let i = 0; i + 1 < jumps.length; i++) {
    const [first, second] = [jumps[i] as Component, jumps[i + 1] as Component]
    if (first.value !== second.value || first.from === second.from) continue
    const joined = { ...first, to: second.from - 1 }
    const components = series.components.map((c) => (c === first ? joined : c)).filter((c) => c !== second)
    const more = fitSeries(series, components).squares - fit.squares
    if (more > ONE_PARAMETER * (fit.squares / fit.df)) continue
    first.to = joined.to
    series.components = series.components.filter((c) => c !== second)
    return second
  }
  return null
}
