import type { PatternTest, Side } from './tests.ts'

/** Points that make one pattern, and the side it lies on. */
export interface PatternBreach {
  readonly side: Side
  /** Positions in the series, ascending and without a gap. */
  readonly points: readonly number[]
}

/**
 * Breaches of one pattern test: every longest run that keeps the pattern, where it reaches the test's length.
 *
 * @param z values in sigmas from the centre, in order, skipped points left out
 */
export function patternBreaches(z: ArrayLike<number>, test: PatternTest): PatternBreach[] {
  const found: PatternBreach[] = []
  const close = (from: number, to: number) => {
    if (to - from + 1 < test.length) return
    const points = Array.from({ length: to - from + 1 }, (_, i) => from + i)
    found.push({ side: sideOf(z, test, from), points })
  }
  let from = 0
  for (let i = 0; i < z.length; i++) {
    const start = continuation(z, test, from, i)
    if (start > from) {
      close(from, i - 1)
      from = start
    }
  }
  if (z.length > 0) close(from, z.length - 1)
  return found
}

/** Where the run that contains point i begins, given the one that the points before it belong to. */
function continuation(z: ArrayLike<number>, { pattern, line }: PatternTest, from: number, i: number): number {
  const at = (j: number) => z[j] as number
  switch (pattern) {
    case 'near':
      return Math.abs(at(i)) < line ? from : i + 1
    case 'away':
      return Math.abs(at(i)) > line ? from : i + 1
    case 'steady': {
      if (i === from) return from
      const step = Math.sign(at(i) - at(i - 1))
      if (step === 0) return i
      const before = i - 1 === from ? step : Math.sign(at(i - 1) - at(i - 2))
      return step === before ? from : i - 1
    }
    case 'alternating': {
      if (i === from) return from
      const step = Math.sign(at(i) - at(i - 1))
      if (step === 0) return i
      const before = i - 1 === from ? -step : Math.sign(at(i - 1) - at(i - 2))
      return step === -before ? from : i - 1
    }
  }
}

function sideOf(z: ArrayLike<number>, { pattern }: PatternTest, from: number): Side {
  if (pattern !== 'steady') return 'either'
  return (z[from + 1] as number) > (z[from] as number) ? 'above' : 'below'
}
