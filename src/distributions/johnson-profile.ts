/** The two parameters of a Johnson distribution that make the transformed values standard normal. */
export interface NormalisingParameters {
  readonly gamma: number
  readonly delta: number
  readonly logLikelihood: number
}

/**
 * Values of a sample, each once, ascending, with how often it occurs: what is measured in steps of a gauge repeats
 * much.
 */
export interface CountedValues {
  readonly n: number
  readonly value: Float64Array
  readonly count: Float64Array
}

/** @param sample ascending */
export function countedValues(sample: Float64Array): CountedValues {
  const value = new Float64Array(sample.length)
  const count = new Float64Array(sample.length)
  let distinct = 0
  for (const x of sample) {
    if (distinct === 0 || x !== value[distinct - 1]) value[distinct++] = x
    count[distinct - 1] = (count[distinct - 1] as number) + 1
  }
  return { n: sample.length, value: value.slice(0, distinct), count: count.slice(0, distinct) }
}

/**
 * Maximum likelihood of gamma and delta in z = gamma + delta g(x), for a fixed transformation g, in closed form:
 * z has mean zero and standard deviation one (divisor n).
 *
 * @param sample values inside the support of g, whose transforms are not all equal
 * @param transform writes g(x) of every value into its argument and returns the sum of ln g′(x) over the sample
 */
export function normalise(
  { n, count }: CountedValues,
  transform: (transformed: Float64Array) => number,
): NormalisingParameters {
  const transformed = new Float64Array(count.length)
  const logSlopes = transform(transformed)
  let sum = 0
  for (let i = 0; i < transformed.length; i++) sum += (count[i] as number) * (transformed[i] as number)
  const mean = sum / n
  let squares = 0
  for (let i = 0; i < transformed.length; i++) {
    squares += (count[i] as number) * ((transformed[i] as number) - mean) ** 2
  }
  const sd = Math.sqrt(squares / n)
  const logLikelihood = logSlopes - n * (Math.log(sd) + 0.5 * Math.log(2 * Math.PI) + 0.5)
  return { gamma: -mean / sd, delta: 1 / sd, logLikelihood }
}
