/** One line of the table: how long something takes, beside what it is measured against in the same run. */
export interface Line {
  readonly what: string
  /** Milliseconds; the best of several runs. */
  readonly milliseconds: number
  readonly companion: { readonly what: string; readonly milliseconds: number; readonly ratio: number } | null
  /** What may be asked of the ratio, or of the milliseconds where there is no companion. */
  readonly target: number | null
}

/** Keeps results in use, so that no work is optimised away. */
let sink = 0

function once(work: () => number): number {
  const begun = performance.now()
  sink += work()
  return performance.now() - begun
}

/** Milliseconds that the work takes at first, with nothing remembered and no code compiled. */
export function measureFirst(what: string, work: () => number, target: number | null): Line {
  return { what, milliseconds: once(work), companion: null, target }
}

/** The best of so many runs. */
export function measure(what: string, work: () => number, runs: number, target: number | null): Line {
  let best = Number.POSITIVE_INFINITY
  for (let run = 0; run < runs; run++) best = Math.min(best, once(work))
  return { what, milliseconds: best, companion: null, target }
}

/** Both by turns, so that what else the machine does falls on both, and the best of each. */
export function compare(
  what: string,
  work: () => number,
  companion: string,
  against: () => number,
  runs: number,
  target: number | null,
): Line {
  let best = Number.POSITIVE_INFINITY
  let other = Number.POSITIVE_INFINITY
  for (let run = 0; run < runs; run++) {
    best = Math.min(best, once(work))
    other = Math.min(other, once(against))
  }
  const beside = { what: companion, milliseconds: other, ratio: best / other }
  return { what, milliseconds: best, companion: beside, target }
}

export function print(lines: readonly Line[]): void {
  const width = Math.max(...lines.map(({ what }) => what.length))
  for (const { what, milliseconds, companion, target } of lines) {
    const time = `${milliseconds < 0.1 ? milliseconds.toPrecision(2) : milliseconds.toFixed(2)} ms`
    const beside =
      companion === null
        ? ''
        : `${companion.ratio.toFixed(2)} times ${companion.what} (${companion.milliseconds.toFixed(2)} ms)`
    const wanted =
      target === null ? '' : `  wanted: at most ${target}${companion === null ? ' ms' : ' times'}`
    console.log(`${what.padEnd(width)}  ${time.padStart(12)}  ${beside}${wanted}`)
  }
  if (Number.isNaN(sink)) console.log('a result was not a number')
}
