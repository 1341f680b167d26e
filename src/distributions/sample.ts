import { ArgumentError } from '../errors.ts'

/** A fitted distribution: its parameters and the logarithm of the likelihood at them. */
export type Fit<Parameters> = Parameters & { readonly logLikelihood: number }

/**
 * The values as a sorted copy.
 * @param values at least `fewest` finite numbers
 * @throws ArgumentError where there are fewer or one is not finite
 */
export function sortedSample(values: ArrayLike<number>, fewest: number): Float64Array {
  const n = values.length
  if (n < fewest) throw new ArgumentError('values', `${n} values, of which a fit needs at least ${fewest}`)
  for (let i = 0; i < n; i++) {
    if (!Number.isFinite(values[i])) throw new ArgumentError('values', `value ${i + 1} of ${n} is not finite`)
  }
  return Float64Array.from(values).sort()
}

/**
 * As `sortedSample`, for values that must all be greater than zero.
 * @throws ArgumentError also where a value is zero or less
 */
export function sortedPositiveSample(values: ArrayLike<number>, fewest: number): Float64Array {
  const sample = sortedSample(values, fewest)
  if ((sample[0] as number) <= 0) {
    throw new ArgumentError('values', `the least value, ${sample[0]}, is not greater than zero`)
  }
  return sample
}

/** Whether all values of a sorted sample are the same, so that no spread can be fitted. */
export function isConstant(sample: Float64Array): boolean {
  return sample[0] === sample[sample.length - 1]
}

/** Sum of f over the sample. */
export function sumOf(sample: Float64Array, f: (x: number) => number): number {
  let sum = 0
  for (const x of sample) sum += f(x)
  return sum
}

/** Mean of f over the sample. */
export function meanOf(sample: Float64Array, f: (x: number) => number): number {
  return sumOf(sample, f) / sample.length
}
