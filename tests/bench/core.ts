/**
 * Speed of the statistics core, each figure beside its companion in the same run:
 *
 *     npx tsx tests/bench/core.ts [file for the figures as JSON]
 */
import { mkdirSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname } from 'node:path'
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
import { compare, type Line, measure, measureFirst, print } from './timing.ts'

// Published as CommonJS without named exports.
const { jStat } = createRequire(import.meta.url)('jstat') as typeof import('jstat')

const MILLION = 1_000_000
const normal = normalSource(1)
const uniform = uniformSource(2)

const lines: Line[] = []

// First what must not be warm.
lines.push(measureFirst('a chart constant, d2(57), first call', () => d2(57), 50))
let fresh = 100
lines.push(measure('a chart constant, d2(n) of a new n', () => d2(fresh++), 200, 1))
lines.push(
  measure(
    'a chart constant, d2(57), remembered, a million times',
    () => {
      let sum = 0
      for (let i = 0; i < MILLION; i++) sum += d2(57)
      return sum
    },
    5,
    50,
  ),
)
lines.push(
  measureFirst(
    'run length of the four default tests, first call',
    () => runLengthOfAny(WESTERN_ELECTRIC, 0),
    100,
  ),
)
lines.push(measureFirst('run length of all nine tests, first call', () => runLengthOfAny(ALL_TESTS, 0), 1000))

lines.push(judgeMillion('of five parts', () => 5))
lines.push(judgeMillion('of two to ten parts', () => 2 + Math.floor(9 * uniform())))

const nested = nestedValues()
lines.push(
  measure(
    `components of ${nested.values.length} values in three levels, with intervals`,
    () => nestedComponents(nested.values, nested.levels, 0.95).mean,
    3,
    1000,
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
    null,
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
  lines.push(compare('200 000 normal quantiles', sumOver(normalQuantile), name, sumOver(quantile), 15, null))
}

print(lines)
const file = process.argv[2] ?? new URL('../output/bench-core.json', import.meta.url).pathname
mkdirSync(dirname(file), { recursive: true })
writeFileSync(file, `${JSON.stringify({ node: process.version, lines }, null, 2)}\n`)
console.log(`\nwritten to ${file}`)

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
    5,
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
