import type { Component } from './component.ts'
import type { ConditionValue } from './condition-track.ts'
import { at, type Residuals, Sums } from './sums.ts'

/** The weighted sums of squares that adding one component takes off a residual series. */
export interface Gain {
  readonly component: Component
  /** Taken off, in squared units of the series. */
  readonly squares: number
  /** Left over with it, in the same. */
  readonly left: number
}

/** Builds on either side that a lasting change is told by, at the least; fewer are a passing one. */
const LEAST_BEFORE = 3
const LEAST_AFTER = 3
/** A slope is not told by fewer. */
const LEAST_ON_RAMP = 5

/** Lengths of passing changes that are tried; in between, the ends are found afterwards. */
export function passingLengths(n: number): number[] {
  const lengths: number[] = []
  for (let length = 1; length <= n / 2; length *= 2) {
    lengths.push(length)
  }
  return lengths
}

/**
 * The flat change and the ramp, lasting to the end of the series, that explain most. Confined to a value of a condition
 * they are not tried where hardly any build since had another value.
 *
 * @returns none in too short a series
 */
export function bestLasting(
  series: Residuals,
  value: ConditionValue | null,
  sums = new Sums(series, value),
): Gain[] {
  const { n, count } = sums
  const present = at(count, n)
  let bestFlat = 0
  let flatFrom = 0
  let bestRamp = 0
  let rampFrom = 0
  const outside = value === null ? null : outsideFrom(series, value)
  for (let from = 1; from < n; from++) {
    const after = present - at(count, from)
    if (at(count, from) < LEAST_BEFORE || series.weights[from] === 0) continue
    if (after < LEAST_AFTER) break
    if (outside !== null) {
      const others = outside[from] as number
      if (others < LEAST_AFTER || after - others < LEAST_AFTER) continue
    }
    const flat = sums.flat(from, n)
    if (flat > bestFlat) {
      bestFlat = flat
      flatFrom = from
    }
    if (after < LEAST_ON_RAMP) continue
    const ramp = sums.ramp(from, n)
    if (ramp > bestRamp) {
      bestRamp = ramp
      rampFrom = from
    }
  }
  return [
    gain(sums, bestFlat, flatFrom, n, 'flat', value),
    gain(sums, bestRamp, rampFrom, n, 'ramp', value),
  ].filter((found) => found !== null)
}

/** The best changes for all builds: flat and ramp that last, and the one that passes again. */
export function bestCommon(series: Residuals): { lasting: Gain[]; passing: Gain | null } {
  const sums = new Sums(series, null)
  return { lasting: bestLasting(series, null, sums), passing: bestPassing(series, sums) }
}

/** Builds from each position on that mostly had another value. */
function outsideFrom({ start, weights }: Residuals, { share }: ConditionValue): Float64Array {
  const counts = new Float64Array(weights.length + 1)
  for (let i = weights.length - 1; i >= 0; i--) {
    const other = (weights[i] as number) > 0 && (share[start + i] as number) < 0.5
    counts[i] = (counts[i + 1] as number) + (other ? 1 : 0)
  }
  return counts
}

/** The change that passes again, a single build among them, that explains most. */
function bestPassing(series: Residuals, sums: Sums): Gain | null {
  const { n } = sums
  let best = 0
  let bestFrom = 0
  let bestEnd = 0
  for (const length of passingLengths(n)) {
    for (let from = 0; from + length <= n; from++) {
      const flat = sums.flat(from, from + length)
      if (flat > best) {
        best = flat
        bestFrom = from
        bestEnd = from + length
      }
    }
  }
  if (best === 0) return null
  while (series.weights[bestFrom] === 0) bestFrom++
  while (series.weights[bestEnd - 1] === 0) bestEnd--
  return gain(sums, best, bestFrom, bestEnd, 'flat', null)
}

function gain(
  sums: Sums,
  squares: number,
  from: number,
  end: number,
  form: Component['form'],
  value: ConditionValue | null,
): Gain | null {
  if (squares === 0) return null
  const component = { from: sums.start + from, to: sums.start + end - 1, form, value }
  return { component, squares, left: Math.max(0, sums.squares - squares) }
}

/**
 * Squares taken off for every place that the component could have begun at, its end, form and value kept; NaN where
 * it could not.
 *
 * @returns parallel to the series
 */
export function gainsByStart(series: Residuals, component: Component): Float64Array {
  const sums = new Sums(series, component.value)
  const end = component.to - series.start + 1
  const least = component.form === 'ramp' ? LEAST_ON_RAMP : 1
  const gains = new Float64Array(sums.n).fill(Number.NaN)
  for (let from = 0; from < end; from++) {
    if (series.weights[from] === 0 || at(sums.count, end) - at(sums.count, from) < least) continue
    if (end === sums.n && at(sums.count, from) < 1) continue
    gains[from] = component.form === 'flat' ? sums.flat(from, end) : sums.ramp(from, end)
  }
  return gains
}

/** The same for every place that it could end at, its start kept. */
export function gainsByEnd(series: Residuals, component: Component): Float64Array {
  const sums = new Sums(series, component.value)
  const from = component.from - series.start
  const least = component.form === 'ramp' ? LEAST_ON_RAMP : 1
  const gains = new Float64Array(sums.n).fill(Number.NaN)
  for (let end = from + 1; end <= sums.n; end++) {
    if (series.weights[end - 1] === 0 && end < sums.n) continue
    if (at(sums.count, end) - at(sums.count, from) < least) continue
    gains[end - 1] = component.form === 'flat' ? sums.flat(from, end) : sums.ramp(from, end)
  }
  return gains
}

/** Place of the largest number; −1 where all are NaN. */
export function placeOfMaximum(values: Float64Array): number {
  let place = -1
  for (let i = 0; i < values.length; i++) {
    const value = values[i] as number
    if (!Number.isNaN(value) && (place === -1 || value > (values[place] as number))) place = i
  }
  return place
}
