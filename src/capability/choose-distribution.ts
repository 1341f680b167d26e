import { andersonDarling } from '../description/anderson-darling.ts'
import { momentsOf } from '../description/moments.ts'
import { normalQuantile, normalUpperQuantile } from '../distributions/normal.ts'
import { type CharacteristicKind, KINDS_WITH_FLOOR } from '../domain/characteristic.ts'
import { ArgumentError } from '../errors.ts'
import { zerosOf } from './above-zero.ts'
import { designEffect, groupValues } from './design-effect.ts'
import { type Family, type FamilyFit, fitFamily, hasNothingAtZero } from './fit-family.ts'
import { distributionFunctions, type FittedDistribution } from './fitted-distribution.ts'

/** Why a distribution was taken. */
export interface ChoiceReason {
  readonly kind:
    | 'too few values'
    | 'normality not refuted'
    | 'no family clearly better'
    | 'another family clearly better'
  readonly n: number
  /** Values as independent as these n are worth, for the question of shape. */
  readonly nEffective: number
  /** What is usual for the kind of the characteristic; folded normal for positions with many values of exactly zero. */
  readonly usual: Family
  /** A deviation of form or place that has values below zero, and so is treated like a length. */
  readonly belowFloor: boolean
  /** Values of exactly zero that were read as rounded, since the chosen family has none there. */
  readonly roundedZeros: number
  /**
   * Anderson–Darling: the modified statistic over the design effect, the bound that refutes normality, and the p that the
   * statistic would have for independent values; null where the test was not asked or has too few values.
   */
  readonly normality: { readonly statistic: number; readonly bound: number; readonly p: number } | null
  readonly criterion: 'BIC'
  /** Criterion of the usual family less that of the chosen one: 0 where the usual one stands. */
  readonly advantage: number
  /** What the advantage has to be for another family to be taken. */
  readonly advantageAsked: number
}

export interface DistributionChoice {
  readonly distribution: FittedDistribution
  readonly reason: ChoiceReason
  /** Families compared, best first; the criterion is smaller where the fit is better. */
  readonly candidates: readonly { readonly family: Family; readonly criterion: number }[]
}

/** With fewer independent values the shape of a distribution cannot be told, and the usual one is taken. */
const FEWEST_VALUES = 30

/** Percentage point 0.5 % of the modified statistic: Stephens, as in `andersonDarling`, table 4.7, case 3. */
const NORMALITY_BOUND = 1.159

/** "Strong evidence" on the scale of R. E. Kass and A. E. Raftery, JASA 90 (1995), 773–795. */
const CLEARLY_BETTER = 6

/**
 * Share of values of exactly zero that is put down to rounding: up to there the choice comes out as with finer values.
 */
const MOST_ROUNDED = 0.05

const FLOOR_FAMILIES: readonly Family[] = ['folded normal', 'Rayleigh', 'Weibull', 'lognormal', 'gamma']
const LENGTH_FAMILIES: readonly Family[] = ['normal', 'Johnson S_L', 'Johnson S_U', 'Johnson S_B']

/**
 * The distribution that a characteristic's values are judged by. What is usual for its kind stands until the values
 * clearly refute it, so that the figures of a characteristic do not jump from one family to another with every new build:
 *
 * - lengths, diameters, angles: normal, unless the Anderson–Darling test refutes it at 0.5 % and a Johnson distribution
 *   describes them: better by at least 6 in Schwarz's criterion BIC, with one hump and normal scores that look normal;
 * - position: Rayleigh, form deviations and roughness: folded normal, unless another of folded normal, Rayleigh, Weibull,
 *   lognormal and gamma is better by at least 6; the folded normal goes before the others (the usual ones are common
 *   practice).
 *
 * Values of exactly zero are read as rounded (`aboveZero`), up to one in twenty; where there are more, the folded normal, which
 * alone has values there, stands.
 *
 * Coarse gauge steps and levels that differ between builds refute normality without making another family better. Given
 * builds, statistic and likelihood are divided by the design effect (first-order correction after J. N. K. Rao and A. J.
 * Scott, Annals of Statistics 12 (1984), 46–60).
 *
 * @param values in one unit
 * @param builds label of each value's build, or null where values are independent
 * @returns null where not even the usual family fits: fewer than five values, or all the same
 * @throws ArgumentError where a value is not finite, or there are not as many labels as values
 */
export function chooseDistribution(
  kind: CharacteristicKind,
  values: ArrayLike<number>,
  builds: ArrayLike<string | number> | null,
): DistributionChoice | null {
  const n = values.length
  if (n === 0) return null
  if (builds !== null && builds.length !== n)
    throw new ArgumentError('builds', `${builds.length} for ${n} values`)
  const { min } = momentsOf(values)
  const hasFloor = KINDS_WITH_FLOOR.has(kind)
  const belowFloor = hasFloor && min < 0
  const asLength = !hasFloor || belowFloor
  const zeros = zerosOf(values)
  // More are too many to come from rounding alone: only the folded normal has values there.
  const fromZero = zeros > MOST_ROUNDED * n
  const usual: Family = asLength ? 'normal' : kind === 'position' && !fromZero ? 'Rayleigh' : 'folded normal'
  const usualFit = fitFamily(usual, values)
  if (usualFit === null) return null

  const inflation = builds === null ? 1 : designEffect(groupValues(values, builds), asLength ? 3 : 2)
  const nEffective = n / inflation
  const criterionOf = (fit: FamilyFit) =>
    (-2 * fit.logLikelihood) / inflation + fit.parameters * Math.log(nEffective)
  const conclude = (
    reason: ChoiceReason['kind'],
    fit: FamilyFit,
    normality: ChoiceReason['normality'],
    compared: readonly FamilyFit[],
  ): DistributionChoice => {
    const why: ChoiceReason = {
      kind: reason,
      n,
      nEffective,
      usual,
      belowFloor,
      roundedZeros: hasNothingAtZero(fit.distribution.family) ? zeros : 0,
      normality,
      criterion: 'BIC',
      advantage: criterionOf(usualFit) - criterionOf(fit),
      advantageAsked: CLEARLY_BETTER,
    }
    const candidates = compared
      .map((one) => ({ family: one.distribution.family, criterion: criterionOf(one) }))
      .sort((a, b) => a.criterion - b.criterion)
    return {
      distribution: fit.distribution,
      reason: why,
      candidates,
    }
  }

  if (nEffective < FEWEST_VALUES) return conclude('too few values', usualFit, null, [usualFit])
  let normality: ChoiceReason['normality'] = null
  if (asLength) {
    const test = andersonDarling(values)
    normality = { statistic: test.modified / inflation, bound: NORMALITY_BOUND, p: test.p }
    if (normality.statistic <= NORMALITY_BOUND) {
      return conclude('normality not refuted', usualFit, normality, [usualFit])
    }
  }
  const fits = (asLength ? LENGTH_FAMILIES : fromZero ? [usual] : FLOOR_FAMILIES)
    .map((family) => (family === usual ? usualFit : fitFamily(family, values)))
    .filter((fit) => fit !== null)
    .filter(
      (fit) => fit === usualFit || !asLength || describes(fit.distribution, values, normality, inflation),
    )
  const best = fits.reduce((a, b) => (criterionOf(b) < criterionOf(a) ? b : a))
  const asGood = (fit: FamilyFit) => criterionOf(fit) - criterionOf(best) < CLEARLY_BETTER
  if (asGood(usualFit)) return conclude('no family clearly better', usualFit, normality, fits)
  // A position off its target is no longer Rayleigh: the folded normal is next, before whichever fits best by chance.
  const next = fits.find((fit) => fit.distribution.family === 'folded normal' && asGood(fit)) ?? best
  return conclude('another family clearly better', next, normality, fits)
}

/**
 * Whether a distribution that is to stand in for the normal is a shape of its own: one hump, and normal scores that
 * pass the test which the values failed, or come ten times nearer to passing. What mixes levels or heaps at gauge steps
 * does not.
 */
function describes(
  distribution: FittedDistribution,
  values: ArrayLike<number>,
  normality: ChoiceReason['normality'],
  inflation: number,
): boolean {
  // Johnson's condition for two modes can hold only here (N. L. Johnson, Biometrika 36 (1949), 149–176).
  if (distribution.family === 'Johnson S_B' && distribution.delta < Math.SQRT1_2) return false
  const { lower, upper } = distributionFunctions(distribution)
  const scores = Float64Array.from(values, (x) => {
    const below = lower(x)
    return below < 0.5 ? normalQuantile(below) : normalUpperQuantile(upper(x))
  })
  const failed = normality?.statistic ?? 0
  return andersonDarling(scores).modified / inflation <= Math.max(NORMALITY_BOUND, failed / 10)
}
