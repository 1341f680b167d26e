import type { RunPattern, RunTest } from '../../../src/run-length/run-test.ts'
import type { StepPattern } from '../../../src/run-length/step-memory.ts'

/** Uniform numbers above 0 and below 1 from a seed: mulberry32 (public domain, T. Ettinger 2017). */
export function uniformSource(seed: number): () => number {
  let state = seed | 0
  return () => {
    state = (state + 0x6d2b79f5) | 0
    let t = Math.imul(state ^ (state >>> 15), state | 1)
    t = (t + Math.imul(t ^ (t >>> 7), t | 61)) ^ t
    return (((t ^ (t >>> 14)) >>> 0) + 0.5) / 4294967296
  }
}

/** Standard normal numbers from a seed, by the Box–Muller transform. */
export function normalSource(seed: number): () => number {
  const uniform = uniformSource(seed)
  let spare: number | null = null
  return () => {
    if (spare !== null) {
      const value = spare
      spare = null
      return value
    }
    const radius = Math.sqrt(-2 * Math.log(uniform()))
    const angle = 2 * Math.PI * uniform()
    spare = radius * Math.sin(angle)
    return radius * Math.cos(angle)
  }
}

/** Points until the first signal of any test, judged from the plain list of points. */
export function simulatedRunLength(
  tests: readonly (RunTest | RunPattern | StepPattern)[],
  shift: number,
  normal: () => number,
): number {
  const points: number[] = []
  for (;;) {
    points.push(normal() + shift)
    for (const test of tests) {
      if ('pattern' in test) {
        if (test.pattern === 'steady' || test.pattern === 'alternating') {
          if (keepsSteps(points.slice(-test.length), test.pattern, test.length)) return points.length
          continue
        }
        const { pattern, length, line } = test as RunPattern
        const kept = points
          .slice(-length)
          .filter((x) => (pattern === 'near' ? Math.abs(x) < line : Math.abs(x) > line))
        if (kept.length === length) return points.length
        continue
      }
      const { needed, of, beyond } = test
      const recent = points.slice(-of)
      if (recent.filter((x) => x > beyond).length >= needed) return points.length
      if (recent.filter((x) => x < -beyond).length >= needed) return points.length
    }
  }
}

/** Whether the points are as many as the pattern asks for, and their steps all of one sign or of signs by turns. */
function keepsSteps(points: readonly number[], pattern: StepPattern['pattern'], length: number): boolean {
  const steps = points.slice(1).map((value, i) => Math.sign(value - (points[i] as number)))
  const turn = pattern === 'steady' ? 1 : -1
  return (
    points.length === length && steps.every((step, i) => i === 0 || step === turn * (steps[i - 1] as number))
  )
}
