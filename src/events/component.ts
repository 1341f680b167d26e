import type { ConditionValue } from './condition-track.ts'

/**
 * One change in a series: level moves at `from` and stays moved until `to` (flat), or moves evenly from build to
 * build (ramp); for all builds, or in so far as a build's parts had one value of a condition. Positions run over
 * the timeline, both inclusive.
 */
export interface Component {
  from: number
  to: number
  form: 'flat' | 'ramp'
  value: ConditionValue | null
}

/** What a component adds to build i where its size is 1: 1 a build on a ramp, beginning with 1 at `from`. */
export function componentAt({ from, to, form, value }: Component, i: number): number {
  if (i < from || i > to) return 0
  const height = form === 'flat' ? 1 : i - from + 1
  return value === null ? height : height * (value.share[i] as number)
}
