import { ArgumentError } from '../errors.ts'
import { hotellingChart } from './hotelling.ts'
import { BASELINE_SUBGROUPS } from './study.ts'

/** One build judged over all characteristics that it was measured in. */
export interface TogetherPoint {
  /** Position on the timeline. */
  readonly position: number
  readonly t2: number
  /** Its own limit: builds of the baseline and builds that miss a characteristic have others. */
  readonly limit: number
  readonly p: number
  readonly outside: boolean
  /** Indices of the rows that moved, the one that explains most first; empty inside the limit. */
  readonly moved: readonly number[]
  /** Indices of the rows judged elsewhere that this build misses. */
  readonly missing: readonly number[]
}

export interface TogetherChart {
  /** Indices of the rows that are judged, and of those that too few builds were measured in. */
  readonly judged: readonly number[]
  readonly leftOut: readonly number[]
  /** Positions of the first and last build that the limits were computed from, and how many of those count. */
  readonly baseline: { readonly from: number; readonly to: number; readonly count: number }
  readonly points: readonly TogetherPoint[]
}

/** A row that fewer of the builds were measured in is left out. */
const LEAST_SHARE = 0.8

/** Chance of a false signal of one build: as that of one point beyond three sigma. */
export const TOGETHER_LEVEL = 0.0027

/**
 * Builds judged by Hotelling's T² over several characteristics at once (see `hotellingChart`), where not every build
 * was measured in all. Rows measured in fewer than four builds of five are left out. Limits come from the first builds
 * that miss nothing: twenty-five, or three times as many as there are characteristics, since fewer tell little of how
 * those move together. A later build that misses some is judged over the others, with the limit for so many; an earlier
 * one too, as if it came later.
 *
 * @param rows means by position on the timeline, null where a build was not measured
 * @returns null where too few builds miss nothing, or one characteristic follows exactly from the others
 */
export function togetherChart(rows: readonly (readonly (number | null)[])[]): TogetherChart | null {
  const length = Math.max(0, ...rows.map((row) => row.length))
  const measured = rows.map((row) => row.filter((value) => value !== null).length)
  const judged = rows.flatMap((_, r) => ((measured[r] as number) >= LEAST_SHARE * length ? [r] : []))
  const leftOut = rows.flatMap((_, r) => (judged.includes(r) ? [] : [r]))
  if (judged.length === 0) return null
  const at = (r: number, position: number) => rows[r]?.[position] ?? null
  const missing = Array.from({ length }, (_, position) => judged.filter((r) => at(r, position) === null))
  const complete = missing.flatMap((lacks, position) => (lacks.length === 0 ? [position] : []))
  const wanted = Math.max(BASELINE_SUBGROUPS, 3 * judged.length)
  const count = Math.min(wanted, complete.length)
  if (count < judged.length + 2) return null
  const base = complete.slice(0, count)
  const patterns = new Map<string, number[]>()
  for (const [position, lacks] of missing.entries()) {
    if (lacks.length === judged.length) continue
    const key = lacks.join()
    const known = patterns.get(key)
    if (known === undefined) patterns.set(key, [position])
    else known.push(position)
  }
  const points: TogetherPoint[] = []
  for (const positions of patterns.values()) {
    const lacks = missing[positions[0] as number] as number[]
    const own = judged.filter((r) => !lacks.includes(r))
    const rest = lacks.length === 0 ? positions.slice(count) : positions
    const valuesAt = (position: number) => own.map((r) => at(r, position) as number)
    const chart = charted([...base, ...rest].map(valuesAt), count)
    if (chart === null) return null
    const first = lacks.length === 0 ? 0 : count
    for (let i = first; i < count + rest.length; i++) {
      const { t2, p, moved } = chart.points[i] as (typeof chart.points)[number]
      const limit = i < count ? chart.baselineLimit : chart.laterLimit
      points.push({
        position: (i < count ? base[i] : rest[i - count]) as number,
        t2,
        limit,
        p,
        outside: t2 > limit,
        moved: moved.map((k) => own[k] as number),
        missing: lacks,
      })
    }
  }
  points.sort((a, b) => a.position - b.position)
  return {
    judged,
    leftOut,
    baseline: { from: base[0] as number, to: base[count - 1] as number, count },
    points,
  }
}

function charted(rows: readonly (readonly number[])[], baseline: number) {
  try {
    return hotellingChart(rows, baseline, TOGETHER_LEVEL)
  } catch (error) {
    if (error instanceof ArgumentError) return null
    throw error
  }
}
