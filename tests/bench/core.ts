/**
 * Speed of the statistics core, each figure beside its companion in the same run:
 *
 *     npx tsx tests/bench/core.ts
 */
import { createRequire } from 'node:module'
import { mean, probit, sampleStandardDeviation } from 'simple-statistics'
import {
  ALL_TESTS,
  arrayChart,
  d2,
  momentsOf,
  nestedComponents,
  normalQuantile,
  runLengthOfAny,
  standardDeviation,
  WESTERN_ELECTRIC,
} from '../../src/index.ts'
import { normalSource, uniformSource } from '../src/run-length/simulation.ts'
import { type BenchRow, runAlone } from './rows.ts'
import { compare, type Line, measure, measureFirst, rowOf } from './timing.ts'

// Published as CommonJS without named exports.
const { jStat } = createRequire(import.meta.url)('jstat') as typeof import('jstat')

const MILLION = 1_000_000
const normal = normalSource(1)
const uniform = uniformSource(2)

await runAlone(import.meta.url, coreBench)

export async function coreBench(): Promise<BenchRow[]> {
  const lines: Line[] = []

  // First what must not be warm.
  lines.push(measureFirst('a chart constant, d2(57), first call', () => d2(57)))
  let fresh = 100
  lines.push(measure('a chart constant, d2(n) of a new n', () => d2(fresh++), 200))
  lines.push(
    measure(
      'a chart constant, d2(57), remembered, a million times',
      () => {
        let sum = 0
        for (let i = 0; i < MILLION; i++) sum += d2(57)
        return sum
      },
      5,
    ),
  )
  lines.push(
    measureFirst('run length of the four default tests, first call', () =>
      runLengthOfAny(WESTERN_ELECTRIC, 0),
    ),
  )
  lines.push(measureFirst('run length of all nine tests, first call', () => runLengthOfAny(ALL_TESTS, 0)))

  lines.push(judgeMillion('of five parts', () => 5))
  lines.push(judgeMillion('of two to ten parts', () => 2 + Math.floor(9 * uniform())))

  const nested = nestedValues()
  lines.push(
    measure(
      `components of ${nested.values.length} values in three levels, with intervals`,
      () => nestedComponents(nested.values, nested.levels, 0.95).mean,
      3,
    ),
  )

  const values = Array.from({ length: MILLION }, () => 10 + normal() / 100)
  lines.push(
    compare(
      'mean and standard deviation of a million values',
      () => standardDeviation(momentsOf(values)) as number,
      'those of simple-statistics',
      () => mean(values) + sampleStandardDeviation(values),
      15,
    ),
  )

  const probabilities = Float64Array.from({ length: 200_000 }, uniform)
  const sumOver = (quantile: (p: number) => number) => () => {
    let sum = 0
    for (const p of probabilities) sum += quantile(p)
    return sum
  }
  for (const [name, quantile] of [
    ['that of jstat', (p: number) => jStat.normal.inv(p, 0, 1)],
    ['that of simple-statistics, good to four digits', probit],
  ] as const) {
    lines.push(
      compare(
        `200 000 normal quantiles, beside ${name.split(',')[0]}`,
        sumOver(normalQuantile),
        name,
        sumOver(quantile),
        15,
      ),
    )
  }

  return lines.map(rowOf)
}

/** Subgroups in statistical control. */
function judgeMillion(sizes: string, sizeOf: () => number): Line {
  const n = new Float64Array(MILLION).map(sizeOf)
  const means = n.map((size) => 10 + normal() / Math.sqrt(size))
  const m2 = n.map((size) => {
    let squares = 0
    for (let i = 1; i < size; i++) squares += normal() ** 2
    return squares
  })
  return compare(
    `limits and the four tests over a million subgroups ${sizes}`,
    () => arrayChart(n, means, m2, MILLION).centre,
    'a plain loop that sums the same arrays',
    () => plainSum(n, means, m2),
    60,
  )
}

function plainSum(n: Float64Array, means: Float64Array, m2: Float64Array): number {
  let sum = 0
  for (let i = 0; i < n.length; i++) sum += (n[i] as number) + (means[i] as number) + (m2[i] as number)
  return sum
}

/** Loads of five builds of twenty parts, each measured ten times. */
function nestedValues(): { values: Float64Array; levels: Float64Array[] } {
  const size = 100_000
  const levels = [1000, 200, 10].map((members) =>
    Float64Array.from({ length: size }, (_, i) => Math.floor(i / members)),
  )
  const effects = [0.5, 0.3, 0.2].map((sd) => Float64Array.from({ length: size }, () => sd * normal()))
  const observed = Float64Array.from({ length: size }, (_, i) =>
    levels.reduce((sum, level, k) => sum + (effects[k]?.[level[i] as number] as number), normal() / 10),
  )
  return { values: observed, levels }
}
