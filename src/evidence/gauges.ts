import { averageAndRange } from '../gauges/average-and-range.ts'
import { biasStudy } from '../gauges/bias.ts'
import { gaugeStudy } from '../gauges/gauge-study.ts'
import { methodAgreement } from '../gauges/method-agreement.ts'
import { studyTable } from '../gauges/readings.ts'
import type { AnalysisLine, ComponentName } from '../gauges/study-model.ts'
import { type Check, check, limited } from './check.ts'
import { AGREEMENT_EXAMPLE, BIAS_EXAMPLE, GAUGE_EXAMPLE, LINEARITY_EXAMPLE } from './data/gauge-example.ts'

const MANUAL = 'AIAG, Measurement Systems Analysis, fourth edition (2010)'
const EXAMPLE = `${MANUAL}, chapter III, section B: ten parts, three inspectors, three trials (from memory)`
const LINEARITY = `${MANUAL}, chapter III, section B: linearity (from memory)`
const BIAS = `${MANUAL}, chapter III, section B: bias by independent sample (from memory)`
const LANCET = 'J. M. Bland and D. G. Altman, Lancet 327 (1986), 307–310 (from memory)'

const SQUARES: readonly (readonly [AnalysisLine['source'], string])[] = [
  ['part', '88.3619'],
  ['inspector', '3.1673'],
  ['interaction', '0.3590'],
  ['repeatability', '2.7589'],
]
const RATIOS: readonly (readonly [AnalysisLine['source'], string])[] = [
  ['part', '492.29'],
  ['inspector', '79.41'],
  ['interaction', '0.434'],
]
const POOLED: readonly (readonly [ComponentName, string])[] = [
  ['repeatability', '0.199933'],
  ['reproducibility', '0.226838'],
  ['part', '1.042327'],
]

function pooledCheck(name: ComponentName, published: string): Check {
  return check(
    'Gauge study, analysis of variance',
    `standard deviation, ${name}, interaction pooled`,
    EXAMPLE,
    published,
    () => numberOf(gaugeStudy(GAUGE_EXAMPLE).components[name]?.sd.value),
  )
}

function line(source: AnalysisLine['source']): AnalysisLine | undefined {
  return gaugeStudy(GAUGE_EXAMPLE).analysis.find((each) => each.source === source)
}

/** The manual's way by hand: averages and factors are rounded to four decimals before they are used. */
function byHand() {
  const study = averageAndRange(GAUGE_EXAMPLE)
  if ('reason' in study) throw new Error(study.reason)
  const { cells, inspectors } = studyTable(GAUGE_EXAMPLE)
  const means = inspectors.map((_, j) => {
    const own = cells.filter(({ inspector }) => inspector === j)
    return rounded(own.reduce((sum, { moments }) => sum + moments.mean, 0) / own.length, 4)
  })
  const { k1, k2, k3 } = study.factors
  const inspectorRange = Math.max(...means) - Math.min(...means)
  const repeatability = rounded(rounded(study.averageRange, 4) * rounded(k1, 4), 5)
  const fromInspectors = inspectorRange * rounded(k2 ?? Number.NaN, 4)
  const reproducibility = rounded(Math.sqrt(fromInspectors ** 2 - repeatability ** 2 / 30), 5)
  const gauge = rounded(Math.hypot(repeatability, reproducibility), 5)
  const part = rounded(rounded(study.partRange, 3) * rounded(k3, 4), 5)
  return {
    averageRange: study.averageRange,
    inspectorRange,
    partRange: study.partRange,
    repeatability,
    reproducibility,
    gauge,
    part,
    total: Math.hypot(gauge, part),
    categories: Math.floor(study.categories ?? Number.NaN),
    k1,
    k2: k2 ?? Number.NaN,
    k3,
  }
}

function rounded(value: number, decimals: number): number {
  return Number(value.toFixed(decimals))
}

const BY_HAND: readonly (readonly [keyof ReturnType<typeof byHand>, string, string])[] = [
  ['averageRange', 'average range', '0.3417'],
  ['inspectorRange', 'range of the inspectors’ means, each rounded', '0.4446'],
  ['partRange', 'range of the parts’ means', '3.511'],
  ['k1', 'K1, three trials', '0.5908'],
  ['k2', 'K2, three inspectors', '0.5231'],
  ['k3', 'K3, ten parts', '0.3146'],
  ['repeatability', 'repeatability', '0.20188'],
  ['reproducibility', 'reproducibility', '0.22963'],
  ['gauge', 'gauge', '0.30575'],
  ['part', 'parts', '1.10456'],
  ['total', 'total', '1.14610'],
  ['categories', 'number of distinct categories', '5'],
]

function linearity() {
  return biasStudy(LINEARITY_EXAMPLE, 0.95).linearity
}

function agreement() {
  const found = methodAgreement(AGREEMENT_EXAMPLE, 0.95, 0.95)
  return 'reason' in found ? null : found
}

export const GAUGES: readonly Check[] = [
  ...SQUARES.map(([source, published]) =>
    check('Gauge study, analysis of variance', `sum of squares, ${source}`, EXAMPLE, published, () =>
      numberOf(line(source)?.sumOfSquares),
    ),
  ),
  ...RATIOS.map(([source, published]) =>
    check('Gauge study, analysis of variance', `F, ${source}`, EXAMPLE, published, () =>
      numberOf(line(source)?.f),
    ),
  ),
  ...POOLED.map(([name, published]) => pooledCheck(name, published)),
  limited(
    pooledCheck('gauge', '0.302373'),
    5,
    'the root of the sum of squares of the printed components is 0.302372 too',
  ),
  ...BY_HAND.map(([key, what, published]) =>
    check(
      'Gauge study, average and range',
      what,
      `${EXAMPLE}; rounded on the way as printed there`,
      published,
      () => byHand()[key],
    ),
  ),
  check('Bias and linearity', 'intercept', LINEARITY, '0.73667', () =>
    numberOf(linearity()?.intercept.value),
  ),
  check('Bias and linearity', 'slope', LINEARITY, '-0.13167', () => numberOf(linearity()?.slope.value)),
  check('Bias and linearity', 'standard deviation about the line', LINEARITY, '0.23954', () =>
    numberOf(linearity()?.residualSd),
  ),
  check('Bias and linearity', 'share of scatter explained, in per cent', LINEARITY, '71.4', () =>
    numberOf(100 * numberOf(linearity()?.rSquared)),
  ),
  check('Bias and linearity', 'mean of fifteen readings', BIAS, '6.0067', () =>
    numberOf(6 + numberOf(biasStudy(BIAS_EXAMPLE, 0.95).parts[0]?.bias)),
  ),
  check('Agreement of two methods', 'mean difference', LANCET, '-2.1', () =>
    numberOf(agreement()?.difference.value),
  ),
  check('Agreement of two methods', 'standard deviation of the differences', LANCET, '38.8', () =>
    numberOf(agreement()?.sd),
  ),
  check('Agreement of two methods', 'mean difference, lower limit', LANCET, '-22.0', () =>
    numberOf(agreement()?.difference.lower),
  ),
  check('Agreement of two methods', 'mean difference, upper limit', LANCET, '17.8', () =>
    numberOf(agreement()?.difference.upper),
  ),
]

function numberOf(value: number | null | undefined): number {
  return value ?? Number.NaN
}
