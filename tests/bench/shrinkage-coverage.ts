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
  driftingShops,
  type FittedHistory,
  fitKnownShop,
  joinedByThree,
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

const threes = joinedByThree(shops)
for (const [builds, own] of [
  [60, shops],
  [180, threes],
] as const) {
  const quietShops = own.filter((axes) => compareRules([axes]).changed === 0).length
  lines.push(
    `"shops of ${builds} builds without drift in which no correction is advised on any of three axes (%)",${((100 * quietShops) / own.length).toFixed(1)},${own.length},at least 95`,
  )
}
const quiet = compareRules(shops)
lines.push(
  `"histories of one axis without drift in which no correction is advised (%)",${(100 - (100 * quiet.changed) / (3 * seeds)).toFixed(1)},${3 * seeds},at least 95`,
  `"no drift, mean square: advice over leaving alone",${(quiet.advised / quiet.leftAlone).toFixed(3)},${3 * seeds},`,
  `"no drift, mean square: correcting on every build over leaving alone",${(quiet.everyBuild / quiet.leftAlone).toFixed(3)},${3 * seeds},2 (W. E. Deming)`,
)
for (const [builds, own] of [
  [180, threes],
  [60, shops],
] as const) {
  for (const fraction of [0.2, 0.3, 0.5]) {
    const rules = compareRules(driftingShops(own, fraction))
    const what = `drift of ${fraction} of a build's scatter a build, ${builds} builds, mean square over the best possible`
    const count = 3 * own.length
    lines.push(
      `"${what}: advice",${(rules.advised / rules.best).toFixed(3)},${count},at most 1.10`,
      `"${what}: correcting on every build",${(rules.everyBuild / rules.best).toFixed(3)},${count},`,
      `"${what}: leaving alone",${(rules.leftAlone / rules.best).toFixed(3)},${count},`,
      `"changes by the advice in such a history",${rules.changes.toFixed(1)},${count},`,
    )
  }
}
for (const fraction of [0.2, 0.3, 0.5]) {
  const own = driftingShops(shops, fraction, true)
  const drifted = compareRules(own, (axis) => axis === 0)
  const others = compareRules(own, (axis) => axis > 0)
  const what = `drift of ${fraction} of a build's scatter a build along one axis alone, 60 builds`
  lines.push(
    `"${what}: advice over the best possible",${(drifted.advised / drifted.best).toFixed(3)},${seeds},`,
    `"${what}: correcting on every build over the best possible",${(drifted.everyBuild / drifted.best).toFixed(3)},${seeds},`,
    `"${what}, the other axes: advice over leaving alone",${(others.advised / others.leftAlone).toFixed(3)},${2 * seeds},`,
  )
}
writeFileSync(new URL('../reference/shrinkage/coverage.csv', import.meta.url), `${lines.join('\n')}\n`)
console.log(lines.join('\n'))
