import type { CapabilitySummary } from '../capability/summary.ts'

/** A characteristic in half tolerances: where its mean lies off the middle, and its overall sigma. */
export interface LocationSpreadPoint {
  readonly summary: CapabilitySummary
  /** −1 at the lower limit, +1 at the upper. */
  readonly offset: number
  readonly sigma: number
  /** Interval of sigma, from that of Pp; null where there is none. */
  readonly interval: readonly [number, number] | null
}

/** Part of the plane that the figure shows, in half tolerances. */
export interface LocationSpreadFrame {
  /** Offsets from −reach to +reach. */
  readonly reach: number
  readonly low: number
  readonly top: number
}

type Vertex = readonly [offset: number, sigma: number]

/** The characteristics that have both limits and a sigma; the others cannot stand in this figure. */
export function locationSpreadPoints(rows: readonly CapabilitySummary[]): LocationSpreadPoint[] {
  const points: LocationSpreadPoint[] = []
  for (const summary of rows) {
    const { lower, upper } = summary.characteristic
    if (lower === null || upper === null || upper <= lower || summary.sigmaOverall === null) continue
    const half = (upper - lower) / 2
    const { pp } = summary
    points.push({
      summary,
      offset: (summary.mean - (lower + upper) / 2) / half,
      sigma: summary.sigmaOverall / half,
      // Pp = half / (3 sigma), so that sigma in half tolerances is 1 / (3 Pp).
      interval: pp === null || pp.lower <= 0 ? null : [1 / (3 * pp.upper), 1 / (3 * pp.lower)],
    })
  }
  return points
}

const REACHES = [0.1, 0.2, 0.3, 0.4, 0.6, 1, 1.5, 2, 3, 5]

/** Drawn so near that the points fill it, with the required line in view. */
export function locationSpreadFrame(
  points: readonly LocationSpreadPoint[],
  required: number,
): LocationSpreadFrame {
  const farthest = 1.1 * Math.max(0, ...points.map((point) => Math.abs(point.offset)))
  const reach = REACHES.find((each) => each >= farthest) ?? farthest
  const lows = points.map((point) => point.interval?.[0] ?? point.sigma)
  const highs = points.map((point) => point.interval?.[1] ?? point.sigma)
  const low = Math.max(0, Math.min(sigmaOf(required, reach), ...lows) * 0.85)
  const top = Math.max(sigmaOf(required, 0), ...highs) * 1.1
  return { reach, low, top }
}

/**
 * The right-hand side of the line of equal Ppk, from its foot to the ridge, cut off at the frame; null where the
 * frame holds none of it. The left-hand side is its mirror image.
 */
export function equalIndexLine(
  index: number,
  { reach, low, top }: LocationSpreadFrame,
): readonly [foot: Vertex, head: Vertex] | null {
  // Offsets at which the line leaves the frame below and above.
  const outer = Math.min(reach, 1 - 3 * index * low)
  const inner = Math.max(0, 1 - 3 * index * top)
  if (outer <= inner) return null
  return [
    [outer, sigmaOf(index, outer)],
    [inner, sigmaOf(index, inner)],
  ]
}

/** Sigma that goes with an offset on the line of the index, from Ppk = (1 − |offset|) / (3 sigma). */
function sigmaOf(index: number, offset: number): number {
  return (1 - Math.abs(offset)) / (3 * index)
}
