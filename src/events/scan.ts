import type { Component } from './component.ts'
import type { ConditionValue } from './condition-track.ts'

/** The weighted sums of squares that adding one component takes off a residual series. */
export interface Gain {
  readonly component: Component
  /** Taken off, in squared units of the series. */
  readonly squares: number
  /** Left over with it, in the same. */
  readonly left: number
}

/** A residual series over the positions `start` to `start + residuals.length − 1` of the timeline. */
export interface Residuals {
  readonly start: number
  readonly residuals: Float64Array
  /** 0 where the series has no value. */
  readonly weights: Float64Array
}

/** Builds on either side that a lasting change is told by, at the least; fewer are a passing one. */
const LEAST_BEFORE = 3
const LEAST_AFTER = 3
/** A slope is not told by fewer. */
const LEAST_ON_RAMP = 5

/**
 * Sums that make the fit of any flat or straight piece a matter of a few subtractions, so that looking at every
 * place costs time in proportion to the number of builds. Entry i sums over the first i positions.
 */
class Sums {
  readonly start: number
  readonly n: number
  /** Values present. */
  readonly count: Float64Array
  /** Σ w u i^k, Σ w u² i^k and Σ w u r i^k, u being 1 or the share of a condition's value. */
  readonly u0: Float64Array
  readonly u1: Float64Array
  readonly v0: Float64Array
  readonly v1: Float64Array
  readonly v2: Float64Array
  readonly r0: Float64Array
  readonly r1: Float64Array
  readonly total: number
  readonly squares: number
  /** Mean of u, and 1 over its sum of squared deviations, 0 where it does not vary. */
  private readonly share: number
  private readonly perSpread: number

  constructor({ start, residuals, weights }: Residuals, value: ConditionValue | null) {
    const n = residuals.length
    const make = () => new Float64Array(n + 1)
    const count = make()
    const u0 = make()
    const u1 = make()
    // Without a value u and u² are the same.
    const v0 = value === null ? u0 : make()
    const v1 = value === null ? u1 : make()
    const v2 = make()
    const r0 = make()
    const r1 = make()
    const centred =
      value === null
        ? withoutMean({ start, residuals, weights })
        : withoutMainEffect({ start, residuals, weights }, value)
    let total = 0
    let squares = 0
    for (let i = 0; i < n; i++) {
      const w = weights[i] as number
      const r = centred[i] as number
      const share = value === null ? 1 : (value.share[start + i] as number)
      const wu = w * share
      const wv = wu * share
      const wr = wu * r
      count[i + 1] = (count[i] as number) + (w > 0 ? 1 : 0)
      u0[i + 1] = (u0[i] as number) + wu
      u1[i + 1] = (u1[i] as number) + wu * i
      v0[i + 1] = (v0[i] as number) + wv
      v1[i + 1] = (v1[i] as number) + wv * i
      v2[i + 1] = (v2[i] as number) + wv * i * i
      r0[i + 1] = (r0[i] as number) + wr
      r1[i + 1] = (r1[i] as number) + wr * i
      total += w
      squares += w * r * r
    }
    this.start = start
    this.n = n
    this.count = count
    this.u0 = u0
    this.u1 = u1
    this.v0 = v0
    this.v1 = v1
    this.v2 = v2
    this.r0 = r0
    this.r1 = r1
    this.total = total
    this.squares = squares
    this.share = at(u0, n) / total
    const spread = at(v0, n) - at(u0, n) * this.share
    this.perSpread = spread > 1e-9 * total ? 1 / spread : 0
  }

  /** Squares taken off by a flat piece over [from, end), the mean of all being fitted with it. */
  flat(from: number, end: number): number {
    const sx = at(this.u0, end) - at(this.u0, from)
    const sxx = at(this.v0, end) - at(this.v0, from)
    return this.reduction(sx, sxx, sxx, at(this.r0, end) - at(this.r0, from))
  }

  /** The same by a ramp that is 1 at `from` and ends before `end`. */
  ramp(from: number, end: number): number {
    const c = from - 1
    const d0 = at(this.v0, end) - at(this.v0, from)
    const d1 = at(this.v1, end) - at(this.v1, from)
    const d2 = at(this.v2, end) - at(this.v2, from)
    const sx = at(this.u1, end) - at(this.u1, from) - c * (at(this.u0, end) - at(this.u0, from))
    const sxr = at(this.r1, end) - at(this.r1, from) - c * (at(this.r0, end) - at(this.r0, from))
    return this.reduction(sx, d2 - 2 * c * d1 + c * c * d0, d1 - c * d0, sxr)
  }

  /** @param sxu Σ w x u, by which the main effect of a condition's value is taken out of x as well */
  private reduction(sx: number, sxx: number, sxu: number, sxr: number): number {
    const product = sxu - this.share * sx
    const cxx = sxx - (sx * sx) / this.total - product * product * this.perSpread
    return cxx > 1e-6 * sxx ? (sxr * sxr) / cxx : 0
  }
}

function at(sums: Float64Array, i: number): number {
  return sums[i] as number
}

function withoutMean({ residuals, weights }: Residuals): Float64Array {
  let w = 0
  let wr = 0
  for (let i = 0; i < residuals.length; i++) {
    w += weights[i] as number
    wr += (weights[i] as number) * (residuals[i] as number)
  }
  const mean = wr / w
  const centred = new Float64Array(residuals.length)
  for (let i = 0; i < centred.length; i++) centred[i] = (residuals[i] as number) - mean
  return centred
}

/** Residuals with what the value explains over the whole series taken out: furnaces may differ as a matter of course. */
function withoutMainEffect(
  { start, residuals, weights }: Residuals,
  { share }: ConditionValue,
): Float64Array {
  let w = 0
  let wu = 0
  let wuu = 0
  let wr = 0
  let wur = 0
  for (let i = 0; i < residuals.length; i++) {
    const weight = weights[i] as number
    const u = share[start + i] as number
    const r = residuals[i] as number
    w += weight
    wu += weight * u
    wuu += weight * u * u
    wr += weight * r
    wur += weight * u * r
  }
  const spread = wuu - (wu * wu) / w
  const slope = spread > 1e-9 * w ? (wur - (wu * wr) / w) / spread : 0
  const level = (wr - slope * wu) / w
  const centred = new Float64Array(residuals.length)
  for (let i = 0; i < centred.length; i++) {
    centred[i] = (residuals[i] as number) - level - slope * (share[start + i] as number)
  }
  return centred
}

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
