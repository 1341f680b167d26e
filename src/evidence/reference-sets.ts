import { autocorrelation } from '../description/autocorrelation.ts'
import { momentsOf, standardDeviation } from '../description/moments.ts'
import { oneWayAnalysis } from '../variation/one-way.ts'
import { type Check, check, limited } from './check.ts'
import { UNIVARIATE, type UnivariateSet } from './data/univariate.ts'
import { VARIANCE } from './data/variance.ts'

const SOURCE = 'NIST Statistical Reference Datasets (NIST/ITL)'
const DOUBLES = 'the data are decimals that no double holds; exact arithmetic on the nearest doubles shares'

/** Digits that exact arithmetic on the nearest doubles shares: tests/reference/evidence/nearest-doubles.csv. */
const SHARED: Readonly<Record<string, number>> = {
  'Mavro sd': 13.1,
  'Mavro lag-1': 13.9,
  'Michelso sd': 13.8,
  'Michelso lag-1': 13.4,
  'NumAcc3 sd': 9.5,
  'NumAcc3 lag-1': 12.2,
  'NumAcc4 sd': 8.3,
  'NumAcc4 lag-1': 11,
  'AtmWtAgt F': 10.2,
}

const GROUP_MEANS = 'the rounding of each group’s mean to a double takes'

/** What the arithmetic itself takes further, in digits that are left. */
const ROUNDED: Readonly<Record<string, { readonly digits: number; readonly why: string }>> = {
  'NumAcc2 sd': { digits: 14, why: 'a sum of 1001 squares in double arithmetic rounds off the last digit' },
  'NumAcc2 lag-1': {
    digits: 14,
    why: 'a sum of 1000 products in double arithmetic rounds off the last digit',
  },
  'SiRstvt F': { digits: 12, why: `${DOUBLES} 13.1 digits, and ${GROUP_MEANS} one more` },
  'SmLs04t F': { digits: 9, why: `${DOUBLES} 10.4 digits, and ${GROUP_MEANS} one more` },
  'SmLs07t F': { digits: 3, why: `${DOUBLES} 4.4 digits, and ${GROUP_MEANS} one more` },
}

/** Certified means, standard deviations and lag-1 coefficients, and F statistics. */
export const REFERENCE_SETS: readonly Check[] = [
  ...UNIVARIATE.flatMap(univariateChecks),
  ...VARIANCE.map(({ name, f, groups }) =>
    asFarAsDoublesGo(
      `${name} F`,
      check('Analysis of variance', `${name}: F`, `${SOURCE}, ${name}`, f, () =>
        numberOf(oneWayAnalysis(groups.map((group) => momentsOf(group)))?.f),
      ),
    ),
  ),
]

function univariateChecks({ name, mean, sd, lag1, values }: UnivariateSet): Check[] {
  const group = 'Mean, standard deviation, autocorrelation'
  const source = `${SOURCE}, ${name}`
  // The made-up sets state exact values; those of the others are certified to fifteen digits.
  const exact = name.startsWith('NumAcc')
  return [
    check(group, `${name}: mean`, source, mean, () => momentsOf(values).mean),
    asFarAsDoublesGo(
      `${name} sd`,
      check(group, `${name}: standard deviation`, source, sd, () =>
        numberOf(standardDeviation(momentsOf(values))),
      ),
    ),
    asFarAsDoublesGo(
      `${name} lag-1`,
      check(group, `${name}: lag-1 autocorrelation`, source, lag1, () =>
        numberOf(autocorrelation(values, 0.95)?.r),
      ),
    ),
  ].map((each) => ({ ...each, exact }))
}

function asFarAsDoublesGo(key: string, of: Check): Check {
  const rounded = ROUNDED[key]
  if (rounded !== undefined) return limited(of, rounded.digits, rounded.why)
  const shared = SHARED[key]
  return shared === undefined ? of : limited(of, Math.floor(shared), `${DOUBLES} ${shared} digits`)
}

function numberOf(value: number | null | undefined): number {
  return value ?? Number.NaN
}
