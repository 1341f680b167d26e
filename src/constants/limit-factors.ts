import { c4 } from './c4.ts'
import { d2, d3 } from './range-constants.ts'

/**
 * Factors of three-sigma limits for subgroups of one size n, as in ASTM E2587 and ISO 7870-2. Limits are centre ±
 * factor × R̄ (A2), centre ± factor × s̄ (A3), or factor × R̄ or s̄ (D3, D4, B3, B4). A lower factor that would not be
 * positive does not exist and is null.
 */

/** A2(n) = 3 / (d2 √n): limits for means from the average range; n from 2 to 1000. */
export function factorA2(n: number): number {
  return 3 / (d2(n) * Math.sqrt(n))
}

/** A3(n) = 3 / (c4 √n): limits for means from the average standard deviation; n > 1. */
export function factorA3(n: number): number {
  return 3 / (c4(n) * Math.sqrt(n))
}

/** Three standard deviations of s over its mean; s has variance 1 − c4² in units of sigma. */
function spreadOfS(n: number): number {
  const c = c4(n)
  return (3 * Math.sqrt((1 - c) * (1 + c))) / c
}

/** B3(n) = 1 − 3 √(1 − c4²) / c4: lower limit for s; null where it does not exist (n below 6). */
export function factorB3(n: number): number | null {
  const factor = 1 - spreadOfS(n)
  return factor > 0 ? factor : null
}

/** B4(n) = 1 + 3 √(1 − c4²) / c4: upper limit for s; n > 1. */
export function factorB4(n: number): number {
  return 1 + spreadOfS(n)
}

/** D3(n) = 1 − 3 d3 / d2: lower limit for the range; null where it does not exist (n below 7). */
export function factorD3(n: number): number | null {
  const factor = 1 - (3 * d3(n)) / d2(n)
  return factor > 0 ? factor : null
}

/** D4(n) = 1 + 3 d3 / d2: upper limit for the range; n from 2 to 1000. */
export function factorD4(n: number): number {
  return 1 + (3 * d3(n)) / d2(n)
}
