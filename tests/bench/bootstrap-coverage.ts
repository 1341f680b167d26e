/**
 * Coverage of the bootstrap intervals of the upper index and of the fraction outside, at 95 %, by simulation:
 *
 *     npx tsx tests/bench/bootstrap-coverage.ts      writes tests/reference/capability/bootstrap-coverage.csv
 */
import { writeFileSync } from 'node:fs'
import { resampledFits } from '../../src/capability/bootstrap.ts'
import { fitFamily } from '../../src/capability/fit-family.ts'
import { distributionFunctions, type FittedDistribution } from '../../src/capability/fitted-distribution.ts'
import { fractionOutside, fractionOutsideEstimate } from '../../src/capability/fraction-outside.ts'
import { quantileIndexPair } from '../../src/capability/quantile-interval.ts'
import { quantileIndices } from '../../src/capability/quantile-method.ts'
import { normalLower } from '../../src/distributions/normal.ts'
import { draws } from '../src/capability/draws.ts'

const SAMPLES = 400
const REPLICATES = 500

const truths: FittedDistribution[] = [
  { family: 'normal', mean: 0, sigma: 1 },
  { family: 'Weibull', shape: 1.8, scale: 1, threshold: 0 },
  { family: 'lognormal', mu: 0, sigma: 0.5 },
  { family: 'gamma', shape: 3, scale: 1 },
  { family: 'Rayleigh', sigma: 1 },
  { family: 'folded normal', mu: 3, sigma: 1 },
  { family: 'folded normal', mu: 1.5, sigma: 1 },
  { family: 'folded normal', mu: 0.5, sigma: 1 },
]
/**
 * Builds, parts in each, and the correlation of two parts of one build on the normal scale; single parts are
 * independent.
 */
const plans: [number, number, number][] = [
  [30, 1, 0],
  [50, 1, 0],
  [200, 1, 0],
  [12, 12, 0.5],
  [25, 12, 0.5],
  [50, 12, 0.2],
]

const rows: string[] = []
for (const [k, m, rho] of plans) {
  for (const [place, truth] of truths.entries()) {
    // Clustered cases need one family with a floor and one without.
    if (m > 1 && place > 0 && truth.family !== 'lognormal') continue
    const { quantile } = distributionFunctions(truth)
    const random = draws(k * 1000 + m * 10 + place)
    // A true index of 1.33.
    const { middle, high } = quantileIndices({ lower: null, upper: null }, truth)
    const limits = { lower: null, upper: middle + 1.33 * (high - middle) }
    const fraction = fractionOutside(limits, truth).total as number
    const missed = { below: 0, above: 0, fraction: 0 }
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
      const resampled = resampledFits(truth.family, values, m > 1 ? builds : null, sample, REPLICATES)
      if (fit === null || resampled === null) throw new Error('no fit')
      const { nearer } = quantileIndexPair(limits, fit.distribution, resampled, 0.95)
      const { total } = fractionOutsideEstimate(limits, fit.distribution, resampled, 0.95)
      if (nearer === null || total === null) throw new Error('no estimate')
      if (nearer.lower > 1.33) missed.below++
      if (nearer.upper < 1.33) missed.above++
      if (total.lower > fraction || total.upper < fraction) missed.fraction++
    }
    const { family, ...parameters } = truth
    const share = (count: number) => (count / SAMPLES).toFixed(4)
    rows.push(
      [
        k,
        m,
        rho,
        family,
        Object.values(parameters).join(' '),
        share(SAMPLES - missed.below - missed.above),
        share(missed.below),
        share(missed.above),
        share(SAMPLES - missed.fraction),
      ].join(','),
    )
  }
}

writeFileSync(
  new URL('../reference/capability/bootstrap-coverage.csv', import.meta.url),
  [
    `# 95 % intervals, true index 1.33, ${SAMPLES} samples of ${REPLICATES} replicates, by tests/bench/bootstrap-coverage.ts; standard error 1.1 %`,
    'builds,parts,correlation,family,parameters,index covered,index below,index above,fraction covered',
    ...rows,
    '',
  ].join('\n'),
)
