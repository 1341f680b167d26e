/** A finding that explains what happened at a span of builds, for one characteristic. */
export interface Answer {
  /** Number of the finding. */
  readonly finding: number
  /** Positions on the timeline, both inclusive. */
  readonly from: number
  readonly to: number
}

/**
 * The finding that answers a signal: one whose builds hold the signal's first point, since a run may go on after the
 * finding was written, or at least half of its points, since its first point may move when limits do. Where several
 * do, the latest.
 *
 * @param points positions of the signal on the timeline, ascending
 * @returns the finding's number; null where nobody has answered it
 */
export function answerTo(points: readonly number[], answers: readonly Answer[]): number | null {
  let number: number | null = null
  for (const { finding, from, to } of answers) {
    const inside = points.filter((at) => at >= from && at <= to)
    const answered = inside.length > 0 && (inside[0] === points[0] || 2 * inside.length >= points.length)
    if (answered && (number === null || finding > number)) number = finding
  }
  return number
}
