import { momentsOf, standardDeviation } from '../description/moments.ts'
import { fitFoldedNormal } from '../distributions/folded-normal.ts'
import { fitGamma } from '../distributions/gamma.ts'
import { fitJohnsonSB } from '../distributions/johnson-sb.ts'
import { fitJohnsonSL } from '../distributions/johnson-sl.ts'
import { fitJohnsonSU } from '../distributions/johnson-su.ts'
import { fitLognormal } from '../distributions/lognormal.ts'
import { fitRayleigh } from '../distributions/rayleigh.ts'
import type { Fit } from '../distributions/sample.ts'
import { fitWeibull } from '../distributions/weibull-fit.ts'
import { ConvergenceError } from '../errors.ts'
import { aboveZero } from './above-zero.ts'
import type { FittedDistribution } from './fitted-distribution.ts'

export type Family = FittedDistribution['family']

/** A fitted distribution and how well it does: the logarithm of the likelihood and how many parameters it took. */
export interface FamilyFit {
  readonly distribution: FittedDistribution
  readonly logLikelihood: number
  readonly parameters: number
}

/** Families whose values lie above zero; those of the folded normal may lie on it. */
const POSITIVE: ReadonlySet<Family> = new Set(['Rayleigh', 'Weibull', 'lognormal', 'gamma'])

/** Whether a family begins at zero and has no values on it. */
export const hasNothingAtZero = (family: Family): boolean => POSITIVE.has(family)

/** Fewer values than this have no fit, whichever the family. */
const FEWEST_VALUES = 5

/**
 * Maximum likelihood fit of one family; for the normal its sigma is the sample standard deviation with divisor n − 1,
 * as in Pp and Ppk, while its likelihood is the greatest. The threshold of the Weibull is zero. Values of exactly zero
 * are read as rounded (`aboveZero`) by the families that have none there.
 *
 * @param values finite numbers
 * @param near fit of the same family to values like these: where that shortens a long search, the fit is then only as
 * exact as resamples need it
 * @returns null where the family does not fit: fewer than five values, all the same, values outside what the family can
 * give, or a likelihood without maximum
 * @throws ArgumentError where a value is not finite
 */
export function fitFamily(
  family: Family,
  values: ArrayLike<number>,
  near: FittedDistribution | null = null,
): FamilyFit | null {
  if (values.length === 0) return null
  const moments = momentsOf(values)
  if (moments.n < FEWEST_VALUES || moments.min === moments.max) return null
  if ((hasNothingAtZero(family) || family === 'folded normal') && moments.min < 0) return null
  if (family === 'normal') {
    const { n, mean, m2 } = moments
    const sigma = standardDeviation(moments) as number
    const logLikelihood = -(n / 2) * (Math.log((2 * Math.PI * m2) / n) + 1)
    return { distribution: { family, mean, sigma }, logLikelihood, parameters: 2 }
  }
  const fit = settledFit(family, hasNothingAtZero(family) ? aboveZero(values) : values, near)
  if (fit === null) return null
  const { logLikelihood, ...distribution } = fit
  return { distribution, logLikelihood, parameters: PARAMETERS[family] }
}

const PARAMETERS = {
  'folded normal': 2,
  Rayleigh: 1,
  Weibull: 2,
  lognormal: 2,
  gamma: 2,
  'Johnson S_U': 4,
  'Johnson S_B': 4,
  'Johnson S_L': 3,
} as const

/** A search that does not settle is a fit that does not exist. */
function settledFit(
  family: Exclude<Family, 'normal'>,
  values: ArrayLike<number>,
  near: FittedDistribution | null,
) {
  try {
    return fitOf(family, values, near)
  } catch (error) {
    if (error instanceof ConvergenceError) return null
    throw error
  }
}

function fitOf(
  family: Exclude<Family, 'normal'>,
  values: ArrayLike<number>,
  near: FittedDistribution | null,
): Fit<FittedDistribution> | null {
  switch (family) {
    case 'folded normal':
      return labelled(family, fitFoldedNormal(values))
    case 'Rayleigh':
      return labelled(family, fitRayleigh(values))
    case 'Weibull':
      return labelled(family, fitWeibull(values))
    case 'lognormal':
      return labelled(family, fitLognormal(values))
    case 'gamma':
      return labelled(family, fitGamma(values))
    case 'Johnson S_U':
      return labelled(family, fitJohnsonSU(values, near?.family === family ? near : null))
    case 'Johnson S_B':
      return labelled(family, fitJohnsonSB(values, near?.family === family ? near : null))
    case 'Johnson S_L':
      return labelled(family, fitJohnsonSL(values))
  }
}

function labelled<Name extends Family, Parameters>(family: Name, fit: Fit<Parameters> | null) {
  return fit === null ? null : { family, ...fit }
}
