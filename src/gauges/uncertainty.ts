import { normalUpper } from '../distributions/normal.ts'
import { studentUpper } from '../distributions/student.ts'
import { ArgumentError } from '../errors.ts'

/** One source of uncertainty, as a standard uncertainty in the unit of the values. */
export interface UncertaintySource {
  readonly name: string
  readonly standard: number
  /** Degrees of freedom where it was found from readings; null where it was stated, as in a certificate. */
  readonly df: number | null
}

/*
 * The ways to a source: uncertainties and steps in the unit of the values. Each throws ArgumentError where a size is negative or
 * not finite. Source: JCGM 100:2008 (from memory): 4.3.3 certificates, 4.3.7 half widths, 4.2 scatter, F.2.2.1 resolution.
 */

/** A standard uncertainty that a certificate states as an expanded one, U with its coverage factor k of at least 1. */
export function fromCertificate(name: string, expanded: number, coverageFactor: number): UncertaintySource {
  requireSize('expanded', expanded)
  if (!(coverageFactor >= 1 && Number.isFinite(coverageFactor))) {
    throw new ArgumentError('coverageFactor', `${coverageFactor} is not a coverage factor`)
  }
  return { name, standard: expanded / coverageFactor, df: null }
}

/** A value known only to lie within ± half width, every place in it alike: half width over √3. */
export function fromHalfWidth(name: string, halfWidth: number): UncertaintySource {
  requireSize('halfWidth', halfWidth)
  return { name, standard: halfWidth / Math.sqrt(3), df: null }
}

/** Scatter found from readings, such as a gauge study's; df as far as it is known. */
export function fromScatter(name: string, sd: number, df: number | null): UncertaintySource {
  requireSize('sd', sd)
  if (df !== null && !(df > 0)) throw new ArgumentError('df', `${df} is not above 0`)
  return { name, standard: sd, df }
}

/** What the step of a display adds: readings are rounded by up to half a step either way. */
export function fromResolution(name: string, step: number): UncertaintySource {
  return fromHalfWidth(name, step / 2)
}

/** Measurement uncertainty of one characteristic on one gauge. */
export interface MeasurementUncertainty {
  /** Combined standard uncertainty. */
  readonly standard: number
  /** U = 2 times the standard uncertainty. */
  readonly expanded: number
  readonly coverageFactor: 2
  /** Degrees of freedom by Welch and Satterthwaite; null where none are known, then without bound. */
  readonly effectiveDf: number | null
  /** Share of values within ± U: 95.45 % with many degrees of freedom, less with few. */
  readonly coverage: number
  /** Sources with their share of the combined variance, greatest first; 0 for one that another stands in for. */
  readonly sources: readonly (UncertaintySource & { readonly share: number; readonly counted: boolean })[]
}

/**
 * Combines sources by the root of the sum of squares, and expands by k = 2.
 *
 * The scatter of repeated readings already holds the rounding to the gauge's step; of `repeatability` and `resolution`
 * only the greater is counted, as ISO 22514-7 does.
 *
 * Source: JCGM 100:2008 (Guide to the expression of uncertainty in measurement), sections 4.3, 5.1 and annex G.4;
 * ISO 22514-7 (from memory).
 *
 * @param repeatability scatter of repeated readings; null where it is not known
 * @param resolution of the gauge; null where it is not known
 * @param others independent of these and of one another
 * @throws ArgumentError where there is no source, or one is negative or not finite
 */
export function measurementUncertainty(
  repeatability: UncertaintySource | null,
  resolution: UncertaintySource | null,
  others: readonly UncertaintySource[],
): MeasurementUncertainty {
  const hidden =
    repeatability === null || resolution === null
      ? null
      : repeatability.standard >= resolution.standard
        ? resolution
        : repeatability
  const all = [repeatability, resolution, ...others].filter((source) => source !== null)
  if (all.length === 0) throw new ArgumentError('others', 'no source of uncertainty')
  for (const { name, standard } of all) requireSize(name, standard)
  const counted = all.filter((source) => source !== hidden)
  const variance = counted.reduce((sum, { standard }) => sum + standard ** 2, 0)
  const standard = Math.sqrt(variance)
  // Welch and Satterthwaite, each source as a share of the whole.
  const inverse = counted.reduce((sum, source) => {
    return source.df === null || variance === 0
      ? sum
      : sum + (source.standard ** 2 / variance) ** 2 / source.df
  }, 0)
  const effectiveDf = inverse > 0 ? 1 / inverse : null
  return {
    standard,
    expanded: 2 * standard,
    coverageFactor: 2,
    effectiveDf,
    coverage: 1 - 2 * (effectiveDf === null ? normalUpper(2) : studentUpper(2, effectiveDf)),
    sources: all
      .map((source) => ({
        ...source,
        share: source === hidden || variance === 0 ? 0 : source.standard ** 2 / variance,
        counted: source !== hidden,
      }))
      .sort((a, b) => b.share - a.share),
  }
}

function requireSize(argument: string, value: number): void {
  if (!(value >= 0 && Number.isFinite(value))) {
    throw new ArgumentError(argument, `${value} is not a size from 0 up`)
  }
}
