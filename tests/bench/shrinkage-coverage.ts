/**
 * How often intervals of shrinkage and offset hold the truth, and what the advice makes of histories with and without
 * drift, over many seeds of the sample shop:
 *
 *     npx tsx tests/bench/shrinkage-coverage.ts [seeds]
 *
 * 500 seeds unless said otherwise, which take about a minute. Writes tests/reference/shrinkage/coverage.csv.
 */
import { writeFileSync } from 'node:fs'
import {
  Coverage,
  compareRules,
  drifting,
  type FittedHistory,
  fitKnownShop,
  joined,
} from '../src/shrinkage/known-truth.ts'

const seeds = Number(process.argv[2] ?? 500)
const coverage = new Coverage()
const shops: FittedHistory[][] = []
for (let seed = 1; seed <= seeds; seed++) shops.push(fitKnownShop(seed, coverage))

const lines = ['figure,value,out of,asked for']
for (const [name, { of }] of coverage.counts)
  lines.push(
    `"intervals of 95 % that hold the ${name} (%)",${coverage.percent(name).toFixed(2)},${of},94 to 96.5`,
  )

const quietShops = shops.filter((axes) => compareRules(axes).changed === 0).length
lines.push(
  `"shops of 60 builds without drift in which no correction is advised on any of three axes (%)",${((100 * quietShops) / seeds).toFixed(1)},${seeds},at least 95`,
)
const quiet = compareRules(shops.flat())
lines.push(
  `"no drift, mean square: advice over leaving alone",${(quiet.advised / quiet.leftAlone).toFixed(3)},${3 * seeds},`,
  `"no drift, mean square: correcting on every build over leaving alone",${(quiet.everyBuild / quiet.leftAlone).toFixed(3)},${3 * seeds},2 (W. E. Deming)`,
)
const threes = Array.from({ length: Math.floor(seeds / 3) }, (_, i) =>
  [0, 1, 2].map((axis) => joined(shops.slice(3 * i, 3 * i + 3).map((axes) => axes[axis] as FittedHistory))),
).flat()
for (const [builds, histories, asked] of [
  [180, threes, 'at most 1.10'],
  [60, shops.flat(), ''],
] as const) {
  for (const fraction of [0.2, 0.3, 0.5]) {
    const rules = compareRules(histories.map((history, i) => drifting(history, fraction, i)))
    const what = `drift of ${fraction} of a build's scatter a build, ${builds} builds, mean square over the best possible`
    lines.push(
      `"${what}: advice",${(rules.advised / rules.best).toFixed(3)},${histories.length},${asked}`,
      `"${what}: correcting on every build",${(rules.everyBuild / rules.best).toFixed(3)},${histories.length},`,
      `"${what}: leaving alone",${(rules.leftAlone / rules.best).toFixed(3)},${histories.length},`,
      `"changes by the advice in such a history",${rules.changes.toFixed(1)},${histories.length},`,
    )
  }
}
writeFileSync(new URL('../reference/shrinkage/coverage.csv', import.meta.url), `${lines.join('\n')}\n`)
console.log(lines.join('\n'))
