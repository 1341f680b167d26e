import { type BenchRow, row } from './rows.ts'

/** One line of the table: how long something takes, beside what it is measured against in the same run. */
export interface Line {
  readonly what: string
  /** Milliseconds; the best of several runs. */
  readonly milliseconds: number
  readonly companion: { readonly what: string; readonly milliseconds: number } | null
}

/** Keeps results in use, so that no work is optimised away. */
let sink = 0

function once(work: () => number): number {
  const begun = performance.now()
  sink += work()
  return performance.now() - begun
}

/** Milliseconds that the work takes at first, with nothing remembered and no code compiled. */
export function measureFirst(what: string, work: () => number): Line {
  return { what, milliseconds: once(work), companion: null }
}

/** The best of so many runs. */
export function measure(what: string, work: () => number, runs: number): Line {
  let best = Number.POSITIVE_INFINITY
  for (let run = 0; run < runs; run++) best = Math.min(best, once(work))
  return { what, milliseconds: best, companion: null }
}

/** Both by turns, so that what else the machine does falls on both, and the best of each. */
export function compare(
  what: string,
  work: () => number,
  companion: string,
  against: () => number,
  runs: number,
): Line {
  let best = Number.POSITIVE_INFINITY
  let other = Number.POSITIVE_INFINITY
  for (let run = 0; run < runs; run++) {
    best = Math.min(best, once(work))
    other = Math.min(other, once(against))
  }
  const beside = { what: companion, milliseconds: other }
  return { what, milliseconds: best, companion: beside }
}

export function rowOf({ what, milliseconds, companion }: Line): BenchRow {
  if (Number.isNaN(sink)) throw new Error(`of ${what} or of what ran before it, a result was not a number`)
  return row(
    what,
    milliseconds,
    'ms',
    companion && { what: companion.what, measured: companion.milliseconds },
  )
}
