import type { ConditionValue } from './condition-track.ts'

/** A residual series over the positions `start` to `start + residuals.length − 1` of the timeline. */
export interface Residuals {
  readonly start: number
  readonly residuals: Float64Array
  /** 0 where the series has no value. */
  readonly weights: Float64Array
}

/**
 * Sums that make the fit of any flat or straight piece a matter of a few subtractions, so that looking at every
 * place costs time in proportion to the number of builds. Entry i sums over the first i positions. The arrays are
 * overwritten by the next `Sums`: one has to be done with before another is made.
 */
export class Sums {
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
    const [count, u0, u1, r0, r1, ...squared] = workspace(n)
    // Without a value u and u² are the same.
    const [v0, v1, v2] = value === null ? [u0, u1, squared[2]] : squared
    const { level, slope } = mainEffect({ start, residuals, weights }, value)
    let total = 0
    let squares = 0
    for (let i = 0; i < n; i++) {
      const w = weights[i] as number
      const share = value === null ? 1 : (value.share[start + i] as number)
      const r = (residuals[i] as number) - level - slope * share
      const wu = w * share
      const wv = wu * share
      const wr = wu * r
      count[i + 1] = (count[i] as number) + (w > 0 ? 1 : 0)
      u0[i + 1] = (u0[i] as number) + wu
      u1[i + 1] = (u1[i] as number) + wu * i
      if (value !== null) {
        v0[i + 1] = (v0[i] as number) + wv
        v1[i + 1] = (v1[i] as number) + wv * i
      }
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

export function at(sums: Float64Array, i: number): number {
  return sums[i] as number
}

type Workspace = readonly [
  Float64Array,
  Float64Array,
  Float64Array,
  Float64Array,
  Float64Array,
  Float64Array,
  Float64Array,
  Float64Array,
]

let arrays: Workspace | null = null

/**
 * Arrays for n + 1 sums each, their first entry 0: the same ones for every `Sums`, since hundreds are made one after
 * the other and each is done with before the next.
 */
function workspace(n: number): Workspace {
  if (arrays === null || arrays[0].length < n + 1) {
    const make = () => new Float64Array(n + 1)
    arrays = [make(), make(), make(), make(), make(), make(), make(), make()]
  }
  return arrays
}

/**
 * Level of a series and, with a value, what this explains over the whole of it: furnaces may differ as a matter of
 * course.
 */
function mainEffect(
  { start, residuals, weights }: Residuals,
  value: ConditionValue | null,
): { level: number; slope: number } {
  let w = 0
  let wu = 0
  let wuu = 0
  let wr = 0
  let wur = 0
  for (let i = 0; i < residuals.length; i++) {
    const weight = weights[i] as number
    const u = value === null ? 0 : (value.share[start + i] as number)
    const r = residuals[i] as number
    w += weight
    wu += weight * u
    wuu += weight * u * u
    wr += weight * r
    wur += weight * u * r
  }
  const spread = wuu - (wu * wu) / w
  const slope = spread > 1e-9 * w ? (wur - (wu * wr) / w) / spread : 0
  return { level: (wr - slope * wu) / w, slope }
}
