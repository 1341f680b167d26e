import { c4 } from '../constants/c4.ts'
import { d2 } from '../constants/range-constants.ts'
import type { Moments } from '../description/moments.ts'

/** A standard deviation with the degrees of freedom that it rests on. */
export interface SigmaEstimate {
  readonly sigma: number
  readonly df: number
}

/**
 * Standard deviation inside subgroups of any sizes: the pooled s over c4(ν + 1), which makes it unbiased.
 *
 * Source: I. W. Burr, Statistical Quality Control Methods (1976), section 3.3; ISO 7870-2, annex on estimators.
 *
 * @param subgroups moments, in the unit of the values
 * @returns null where no subgroup has two values
 */
export function sigmaWithin(subgroups: readonly Moments[]): SigmaEstimate | null {
  let squares = 0
  let df = 0
  for (const subgroup of subgroups) {
    squares += subgroup.m2
    df += subgroup.n - 1
  }
  if (df === 0) return null
  return { sigma: Math.sqrt(squares / df) / c4(df + 1), df }
}

/** Mean of the absolute differences of neighbours; null for fewer than two values. Unit of the values. */
export function averageMovingRange(values: readonly number[]): number | null {
  if (values.length < 2) return null
  let sum = 0
  for (let i = 1; i < values.length; i++) sum += Math.abs((values[i] as number) - (values[i - 1] as number))
  return sum / (values.length - 1)
}

/**
 * Share of a difference's information that the average moving range keeps: its relative variance is
 * 0.8264 / (m), m differences, which is that of a standard deviation with 0.605 m degrees of freedom.
 * From E|d₁d₂| of neighbouring differences, which correlate by −1/2 (A. Hald, Statistical Theory with
 * Engineering Applications (1952), section 13.5, from memory; recomputed in the tests by simulation).
 */
const MOVING_RANGE_INFORMATION = 0.605

/**
 * Standard deviation of individual values from neighbours only, so that slow shifts count little:
 * average moving range over d2(2).
 *
 * @param values in the order of time
 * @returns null for fewer than two values; `df` is the equivalent degrees of freedom, not a whole number
 */
export function sigmaFromMovingRange(values: readonly number[]): SigmaEstimate | null {
  const range = averageMovingRange(values)
  if (range === null) return null
  return { sigma: range / d2(2), df: MOVING_RANGE_INFORMATION * (values.length - 1) }
}
