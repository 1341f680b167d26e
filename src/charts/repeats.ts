/**
 * Which of several measurements of one part counts: each of them as a value of its own, the first or the last that was
 * made, or their mean as one value.
 */
export type RepeatChoice = 'every' | 'first' | 'last' | 'mean'

export const REPEAT_CHOICES: readonly RepeatChoice[] = ['every', 'first', 'last', 'mean']

/** One of several measurements of a part. */
export interface Repeat {
  readonly value: number
  readonly replicate: number
  /** Seconds since 1970-01-01 UTC; null where not recorded, which counts as earlier than any time. */
  readonly measuredAt: number | null
}

/** What counts of the measurements of one part that are not left out; nothing where there is none. */
export function countingOf(repeats: readonly Repeat[], choice: RepeatChoice): readonly number[] {
  if (repeats.length < 2 || choice === 'every') return repeats.map(({ value }) => value)
  if (choice === 'mean') return [repeats.reduce((sum, { value }) => sum + value, 0) / repeats.length]
  const sign = choice === 'first' ? 1 : -1
  const counting = repeats.reduce((best, each) => (sign * inOrderOfTime(each, best) < 0 ? each : best))
  return [counting.value]
}

/** By time; of one time, or without, by replicate. */
function inOrderOfTime(a: Repeat, b: Repeat): number {
  const time = (repeat: Repeat) => repeat.measuredAt ?? Number.NEGATIVE_INFINITY
  return time(a) === time(b) ? a.replicate - b.replicate : time(a) - time(b)
}
