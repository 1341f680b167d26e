import type { IndexEstimate } from '../capability/index-estimate.ts'
import type { CapabilitySummary } from '../capability/summary.ts'
import { requirePositive } from '../numbers/argument-checks.ts'
import type { StudyFigure } from './study-model.ts'

/** A capability or performance index beside the one that the parts themselves would have. */
export interface GaugeCorrection {
  /** As measured: gauge and parts together. */
  readonly plain: IndexEstimate
  /** Null where the gauge alone explains what was seen, so that nothing is left of the parts. */
  readonly corrected: CorrectedIndex | null
  /** Gauge variance over the variance seen; above 1 where the gauge scattered more in its study than the parts here. */
  readonly gaugeShare: number
}

export interface CorrectedIndex {
  readonly value: number
  /** Null where the plain lower limit is negative and the gauge may explain all that was seen. */
  readonly lower: number | null
  /** Null where the gauge may explain all that was seen. */
  readonly upper: number | null
}

/** Every index of a characteristic corrected; null where it, or the sigma that it takes, is not known. */
export type CorrectedIndices = Readonly<Record<'cp' | 'cpk' | 'pp' | 'ppk', GaugeCorrection | null>>

/**
 * All four indices with the gauge's spread taken out, each out of the sigma that it takes: Cp and Cpk out of that of a
 * process without shifts, Pp and Ppk out of the overall one. The gauge's share of the former is the greater. None where
 * the indices are not by sigma but by quantiles of a distribution, or where each part is judged in units of its own
 * tolerance: the sum of variances does not hold there.
 *
 * Source: as `correctForGauge`.
 *
 * @param gauge standard deviation of the gauge with its limits, in the unit of the characteristic
 */
export function correctedIndices(
  summary: Pick<
    CapabilitySummary,
    'cp' | 'cpk' | 'pp' | 'ppk' | 'sigmaInControl' | 'sigmaOverall' | 'shape' | 'ownTolerance'
  >,
  gauge: StudyFigure,
): CorrectedIndices {
  const isBySigma = (summary.shape?.byQuantiles ?? null) === null && summary.ownTolerance === null
  const corrected = (plain: IndexEstimate | null, sigma: number | null) =>
    !isBySigma || plain === null || sigma === null || !(sigma > 0)
      ? null
      : correctForGauge(plain, sigma, gauge)
  const { cp, cpk, pp, ppk, sigmaInControl, sigmaOverall } = summary
  return {
    cp: corrected(cp, sigmaInControl),
    cpk: corrected(cpk, sigmaInControl),
    pp: corrected(pp, sigmaOverall),
    ppk: corrected(ppk, sigmaOverall),
  }
}

/**
 * An index with the gauge's spread taken out: what parts and gauge scatter add up as variances, so that the index of
 * the parts alone is the plain one over √(1 − gauge variance / variance seen). It says what a better gauge would show,
 * and is no index to be promised: the customer's gauges scatter too.
 *
 * The limits take the gauge's scatter at its own limits together with those of the plain index; they hold with at least
 * about the confidence of the two together, 90 % where each has 95 %.
 *
 * Source: AIAG, Measurement Systems Analysis, fourth edition (2010), chapter I, section B, on the effect on capability
 * (from memory); the formula follows from independence of part and error.
 *
 * @param plain index of measured values, of either kind
 * @param sigma the standard deviation of measured values that it was computed with, above 0
 * @param gauge standard deviation of the gauge, in the same unit
 * @throws ArgumentError where sigma is not above zero
 */
export function correctForGauge(plain: IndexEstimate, sigma: number, gauge: StudyFigure): GaugeCorrection {
  requirePositive('sigma', sigma)
  const factorAt = (sd: number) => 1 / Math.sqrt(1 - (sd / sigma) ** 2)
  const gaugeShare = (gauge.value / sigma) ** 2
  if (gauge.value >= sigma) return { plain, corrected: null, gaugeShare }
  // A negative limit, of a mean outside the specification, moves away from 0 as well.
  const least = factorAt(gauge.lower)
  const most = gauge.upper === null || gauge.upper >= sigma ? null : factorAt(gauge.upper)
  const outwards = most === null ? null : (limit: number) => limit * most
  const lower = plain.lower >= 0 ? plain.lower * least : (outwards?.(plain.lower) ?? null)
  const upper = plain.upper < 0 ? plain.upper * least : (outwards?.(plain.upper) ?? null)
  return {
    plain,
    corrected: { value: plain.value * factorAt(gauge.value), lower, upper },
    gaugeShare,
  }
}
