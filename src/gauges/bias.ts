import { momentsOf, variance } from '../description/moments.ts'
import { ArgumentError } from '../errors.ts'
import { requireFraction } from './argument-range.ts'
import { type Estimate, meanEstimate, roundingOf, straightLine, studentEstimate } from './straight-line.ts'

/** One reading of a part whose value is known. */
export interface ReferenceReading {
  /** Certified or otherwise agreed value, in the unit of the reading. */
  readonly reference: number
  readonly value: number
}

/** How readings of one reference part lie about its value. */
export interface BiasAt {
  readonly reference: number
  readonly n: number
  /** Mean reading minus reference. */
  readonly bias: number
  /** Standard deviation of its readings; null for a single one. */
  readonly sd: number | null
  /** Null for a single reading or where all readings are equal. */
  readonly estimate: Estimate | null
}

/** Bias as a straight line of the reference value. */
export interface Linearity {
  /** Bias where the reference is 0. */
  readonly intercept: Estimate
  /** Change of bias per unit of the reference. */
  readonly slope: Estimate
  /** Standard deviation about the line, with n − 2 degrees of freedom. */
  readonly residualSd: number
  readonly df: number
  /** Share of the scatter of biases that the line explains. */
  readonly rSquared: number
  /** Bias by the line, with its interval, at each reference value in ascending order. */
  readonly line: readonly { readonly reference: number; readonly estimate: Estimate }[]
}

export interface BiasStudy {
  readonly parts: readonly BiasAt[]
  /** Bias over all readings; null for a single reading or where all deviate alike. */
  readonly overall: Estimate | null
  /** Null where `reason` says why. */
  readonly linearity: Linearity | null
  readonly reason: 'one reference part' | 'too few readings' | 'constant readings' | null
  readonly confidence: number
}

/**
 * Bias of a gauge at parts of known value, and whether it changes with size. Intervals by Student's t.
 *
 * Source: AIAG, Measurement Systems Analysis, fourth edition (2010), chapter III, section B (from memory); N. R. Draper
 * and H. Smith, Applied Regression Analysis (1998), section 1.4.
 *
 * @param readings n readings in any order, n at least 1
 * @param confidence of each interval, above 0 and below 1
 * @throws ArgumentError where there is no reading, a figure is not finite or the confidence is out of range
 */
export function biasStudy(readings: readonly ReferenceReading[], confidence: number): BiasStudy {
  if (readings.length === 0) throw new ArgumentError('readings', 'no readings')
  requireFraction('confidence', confidence)
  for (const [i, { reference, value }] of readings.entries()) {
    if (!(Number.isFinite(reference) && Number.isFinite(value))) {
      throw new ArgumentError('readings', `reading ${i + 1} of ${readings.length} is not finite`)
    }
  }
  const references = [...new Set(readings.map(({ reference }) => reference))].sort((a, b) => a - b)
  const rounding = roundingOf(readings.flatMap(({ reference, value }) => [reference, value]))
  const parts = references.map((reference) => {
    const biases = readings
      .filter((each) => each.reference === reference)
      .map(({ value }) => value - reference)
    const moments = momentsOf(biases)
    const s2 = variance(moments)
    return {
      reference,
      n: moments.n,
      bias: moments.mean,
      sd: s2 === null ? null : Math.sqrt(s2),
      estimate: meanEstimate(biases, rounding, confidence),
    }
  })
  const overall = meanEstimate(
    readings.map(({ reference, value }) => value - reference),
    rounding,
    confidence,
  )
  const found = linearityOf(readings, references, confidence)
  return { parts, overall, ...found, confidence }
}

function linearityOf(
  readings: readonly ReferenceReading[],
  references: readonly number[],
  confidence: number,
): Pick<BiasStudy, 'linearity' | 'reason'> {
  if (references.length < 2) return { linearity: null, reason: 'one reference part' }
  if (readings.length < 3) return { linearity: null, reason: 'too few readings' }
  const fit = straightLine(
    readings.map(({ reference }) => reference),
    readings.map(({ reference, value }) => value - reference),
  )
  if (fit === null) return { linearity: null, reason: 'constant readings' }
  const { df, residualSd, rSquared } = fit
  const estimateAt = (reference: number) =>
    studentEstimate(fit.at(reference), fit.errorAt(reference), df, confidence)
  return {
    linearity: {
      intercept: estimateAt(0),
      slope: studentEstimate(fit.slope, fit.slopeError, df, confidence),
      residualSd,
      df,
      rSquared,
      line: references.map((reference) => ({ reference, estimate: estimateAt(reference) })),
    },
    reason: null,
  }
}
