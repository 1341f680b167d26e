/** What an event is known by from one look at the record to the next. Positions are those of the present timeline. */
export interface EventMark {
  /** Whether the location moved or the scatter changed: an event of the one is never one of the other. */
  readonly aspect: 'location' | 'scatter'
  /** Designators of its characteristics. */
  readonly characteristics: readonly string[]
  /** The most likely first build, and the first and last that it may be. */
  readonly from: number
  readonly earliest: number
  readonly latest: number
  /** Last build that shows it. */
  readonly to: number
}

/**
 * Which of the events known before each event seen now is: the same aspect and at least one characteristic in common, and
 * builds in common among those that either may have begun with; where several are, the one with most characteristics in
 * common, then the nearest. Each is matched once.
 *
 * @param grownOnly whether nothing but builds was added since, so that one that was known and is not found again, and one
 *   that was not known and lies over it with half of its characteristics, are one event that is estimated anew
 * @returns index into `known` for each of `seen`; null for what is new
 */
export function recogniseEvents(
  known: readonly EventMark[],
  seen: readonly EventMark[],
  grownOnly: boolean,
): (number | null)[] {
  const found: (number | null)[] = seen.map(() => null)
  const taken = new Set<number>()
  const match = (alike: (a: EventMark, b: EventMark) => boolean) => {
    const pairs = seen.flatMap((now, i) =>
      known.flatMap((then, k) =>
        found[i] === null && !taken.has(k) && now.aspect === then.aspect && alike(now, then)
          ? [{ i, k, common: common(now, then), apart: Math.abs(now.from - then.from) }]
          : [],
      ),
    )
    pairs.sort((a, b) => b.common - a.common || a.apart - b.apart)
    for (const { i, k } of pairs) {
      if (found[i] !== null || taken.has(k)) continue
      found[i] = k
      taken.add(k)
    }
  }
  match((a, b) => common(a, b) > 0 && a.earliest <= b.latest && b.earliest <= a.latest)
  if (grownOnly) {
    const half = (a: EventMark, b: EventMark) =>
      Math.min(a.characteristics.length, b.characteristics.length) / 2
    match((a, b) => common(a, b) >= half(a, b) && a.from <= b.to && b.from <= a.to)
  }
  return found
}

function common(a: EventMark, b: EventMark): number {
  return a.characteristics.filter((each) => b.characteristics.includes(each)).length
}
