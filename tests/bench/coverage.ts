/**
 * Coverage of the interval of Cpk and Ppk, `nearerIndexInterval` at 95 %, by simulation:
 *
 *     npx tsx tests/bench/coverage.ts      writes tests/reference/capability/coverage.csv
 *
 * The true index is inside the interval exactly when the observed t, 3√n times the estimate, has no tail below 2.5 % under
 * the true noncentrality: between two quantiles that are the same for all samples of a case. Mean and standard deviation of
 * a sample are drawn from their distributions, normal and chi-square, which are independent.
 */
import { writeFileSync } from 'node:fs'
import {
  noncentralStudentQuantile,
  noncentralStudentUpperQuantile,
} from '../../src/distributions/noncentral-student.ts'
import { draws } from '../src/capability/draws.ts'

const REPLICATES = 100_000
const SIZES = [10, 15, 20, 30, 50, 100, 200, 500]
const INDICES = [0.7, 1, 1.33, 1.67, 2, 2.5]
/** Distance of the mean from the middle of the limits, in sigmas; one limit alone is the last. */
const OFFSETS = [0, 0.1, 0.25, 0.5, 1, 3, Number.POSITIVE_INFINITY]

const rows: string[] = []
let least = 1
let greatest = 0
for (const n of SIZES) {
  for (const index of INDICES) {
    const noncentrality = 3 * Math.sqrt(n) * index
    const from = noncentralStudentQuantile(0.025, n - 1, noncentrality)
    const to = noncentralStudentUpperQuantile(0.025, n - 1, noncentrality)
    for (const [place, offset] of OFFSETS.entries()) {
      const random = draws(n * 100_000 + Math.round(index * 100) * 10 + place)
      let missedBelow = 0
      let missedAbove = 0
      for (let i = 0; i < REPLICATES; i++) {
        const mean = random.normal() / Math.sqrt(n)
        const sigma = Math.sqrt(random.chiSquare(n - 1) / (n - 1))
        // The near limit is 3·index sigmas above the true mean, the far one 2·offset farther below it.
        const distance = Math.min(3 * index - mean, 3 * index + 2 * offset + mean)
        const t = (Math.sqrt(n) * distance) / sigma
        if (t > to) missedBelow++
        else if (t < from) missedAbove++
      }
      const covered = 1 - (missedBelow + missedAbove) / REPLICATES
      least = Math.min(least, covered)
      greatest = Math.max(greatest, covered)
      const where = Number.isFinite(offset) ? offset : 'one limit'
      rows.push(
        [n, index, where, covered, missedBelow / REPLICATES, missedAbove / REPLICATES]
          .map((field) => (typeof field === 'number' ? Number(field.toFixed(6)) : field))
          .join(','),
      )
    }
  }
}

writeFileSync(
  new URL('../reference/capability/coverage.csv', import.meta.url),
  [
    `# nearerIndexInterval at 95 %, ${REPLICATES} replicates a case, by tests/bench/coverage.ts; standard error 0.07 %`,
    '# offset: the mean off the middle, in sigmas; the true index lies below or above the interval in the last two columns',
    'n,index,offset,covered,below,above',
    ...rows,
    '',
  ].join('\n'),
)
process.stdout.write(`${rows.length} cases, coverage ${least} to ${greatest}\n`)
