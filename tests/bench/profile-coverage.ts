/**
 * Coverage of the profile likelihood intervals of the upper index and of the fraction outside, at 95 %, by simulation:
 *
 *     npx tsx tests/bench/profile-coverage.ts      writes tests/reference/capability/profile-coverage.csv
 */
import { writeFileSync } from 'node:fs'
import { designEffect, groupValues } from '../../src/capability/design-effect.ts'
import { fitFamily } from '../../src/capability/fit-family.ts'
import { distributionFunctions, type FittedDistribution } from '../../src/capability/fitted-distribution.ts'
import { fractionOutside } from '../../src/capability/fraction-outside.ts'
import { profileFractionOutside, profileIndexPair } from '../../src/capability/profile-interval.ts'
import { quantileIndices } from '../../src/capability/quantile-method.ts'
import { normalLower } from '../../src/distributions/normal.ts'
import { draws } from '../src/capability/draws.ts'

const SAMPLES = Number(process.argv[2] ?? 1000)
const TRUE_INDEX = 1.33

const truths: FittedDistribution[] = [
  { family: 'Weibull', shape: 1.8, scale: 1, threshold: 0 },
  { family: 'lognormal', mu: 0, sigma: 0.5 },
  { family: 'gamma', shape: 3, scale: 1 },
  { family: 'Rayleigh', sigma: 1 },
  { family: 'folded normal', mu: 3, sigma: 1 },
  { family: 'folded normal', mu: 1.5, sigma: 1 },
  { family: 'folded normal', mu: 1, sigma: 1 },
  { family: 'folded normal', mu: 0.5, sigma: 1 },
  { family: 'folded normal', mu: 0, sigma: 1 },
]
/**
 * Builds, parts in each, and the correlation of two parts of one build on the normal scale; single parts are
 * independent.
 */
const plans: [number, number, number][] = [
  [15, 1, 0],
  [30, 1, 0],
  [50, 1, 0],
  [200, 1, 0],
  [6, 12, 0.5],
  [12, 12, 0.5],
  [25, 12, 0.5],
  [50, 12, 0.2],
]

const rows: string[] = []
for (const [k, m, rho] of plans) {
  for (const [place, truth] of truths.entries()) {
    const { quantile } = distributionFunctions(truth)
    const random = draws(k * 1000 + m * 10 + place)
    const { middle, high } = quantileIndices({ lower: null, upper: null }, truth)
    const limits = { lower: null, upper: middle + TRUE_INDEX * (high - middle) }
    const fraction = fractionOutside(limits, truth).total as number
    const missed = { below: 0, above: 0, fraction: 0, none: 0 }
    let width = 0
    for (let sample = 0; sample < SAMPLES; sample++) {
      const values: number[] = []
      const builds: number[] = []
      for (let build = 0; build < k; build++) {
        const level = Math.sqrt(rho) * random.normal()
        for (let part = 0; part < m; part++) {
          values.push(quantile(normalLower(level + Math.sqrt(1 - rho) * random.normal())))
          builds.push(build)
        }
      }
      const fit = fitFamily(truth.family, values)
      const inflation = m === 1 ? 1 : designEffect(groupValues(values, builds), 1)
      const pair = fit && profileIndexPair(limits, fit.distribution, values, inflation, 0.95)
      const total = fit && profileFractionOutside(limits, fit.distribution, values, inflation, 0.95)
      if (!pair?.nearer || !total?.total) {
        missed.none++
        continue
      }
      width += pair.nearer.upper - pair.nearer.lower
      if (pair.nearer.lower > TRUE_INDEX) missed.below++
      if (pair.nearer.upper < TRUE_INDEX) missed.above++
      if (total.total.lower > fraction || total.total.upper < fraction) missed.fraction++
    }
    const { family, ...parameters } = truth
    const told = SAMPLES - missed.none
    const share = (count: number) => (count / told).toFixed(3)
    rows.push(
      [
        k,
        m,
        rho,
        family,
        Object.values(parameters).join(' '),
        share(told - missed.below - missed.above),
        share(missed.below),
        share(missed.above),
        share(told - missed.fraction),
        (width / told).toFixed(2),
        missed.none,
      ].join(','),
    )
    console.log(rows.at(-1))
  }
}

writeFileSync(
  new URL('../reference/capability/profile-coverage.csv', import.meta.url),
  [
    `# 95 % intervals, true index ${TRUE_INDEX}, ${SAMPLES} samples each, by tests/bench/profile-coverage.ts; standard error ${(100 * Math.sqrt((0.95 * 0.05) / SAMPLES)).toFixed(1)} %`,
    '# not told: samples whose builds differ so much that fewer than two independent values are left',
    'builds,parts,correlation,family,parameters,index covered,index below,index above,fraction covered,mean width,not told',
    ...rows,
    '',
  ].join('\n'),
)
