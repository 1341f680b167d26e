import { studentUpperQuantile } from '../distributions/student.ts'
import { ArgumentError } from '../errors.ts'
import { momentsOf, standardDeviation } from './moments.ts'

/** One step of the test: the value farthest from the mean of those still in, and how far it may be. */
export interface OutlierStep {
  /** Place of the value in the array given. */
  readonly index: number
  /** Distance from the mean of the values still in, over their standard deviation. */
  readonly statistic: number
  readonly critical: number
}

export interface OutlierTest {
  /** Ends early where the values still in are all the same. */
  readonly steps: readonly OutlierStep[]
  /** Places of the outliers in the array given, the farthest out first: the steps up to the last significant one. */
  readonly outliers: readonly number[]
}

/**
 * Generalised extreme studentised deviate test for up to `most` outliers in values otherwise normal. It does not
 * suffer from outliers hiding one another, as repeated single tests do. Meant for 25 values and more; from 15 on its
 * level is still close.
 *
 * Source: B. Rosner, Percentage points for a generalized ESD many-outlier procedure, Technometrics 25 (1983),
 * 165–172; NIST/SEMATECH e-Handbook of Statistical Methods, section 1.3.5.17.3.
 *
 * @param values n finite numbers
 * @param most at least 1 and at most n − 2
 * @param level probability of finding any outlier where there is none, above 0 and below 1
 * @throws ArgumentError where an argument is out of range or a value not finite
 */
export function outlierTest(values: ArrayLike<number>, most: number, level: number): OutlierTest {
  const n = values.length
  if (!(Number.isInteger(most) && most >= 1 && most <= n - 2)) {
    throw new ArgumentError('most', `${most} outliers among ${n} values cannot be tested for`)
  }
  if (!(level > 0 && level < 1)) throw new ArgumentError('level', `${level} is not between 0 and 1`)
  const left = Array.from({ length: n }, (_, index) => ({ index, value: values[index] as number }))
  const steps: OutlierStep[] = []
  let found = 0
  while (steps.length < most) {
    const moments = momentsOf(left.map(({ value }) => value))
    const sd = standardDeviation(moments)
    if (sd === null || moments.min === moments.max) break
    let farthest = 0
    let distance = -1
    for (const [place, { value }] of left.entries()) {
      const here = Math.abs(value - moments.mean)
      if (here > distance) {
        distance = here
        farthest = place
      }
    }
    const size = left.length
    const t = studentUpperQuantile(level / (2 * size), size - 2)
    const critical = ((size - 1) * t) / Math.sqrt((size - 2 + t * t) * size)
    const statistic = distance / sd
    const [removed] = left.splice(farthest, 1)
    steps.push({ index: removed?.index as number, statistic, critical })
    if (statistic > critical) found = steps.length
  }
  return { steps, outliers: steps.slice(0, found).map((step) => step.index) }
}
