import { meanOf, sumOf } from './sample.ts'

/** The two parameters of a Johnson distribution that make the transformed values standard normal. */
export interface NormalisingParameters {
  readonly gamma: number
  readonly delta: number
  readonly logLikelihood: number
}

/**
 * Maximum likelihood of gamma and delta in z = gamma + delta g(x), for a fixed transformation g, in closed form:
 * z has mean zero and standard deviation one (divisor n).
 *
 * @param sample values inside the support of g, whose transforms are not all equal
 * @param g transformation to the normal scale
 * @param logSlope ln g′(x)
 */
export function normalise(
  sample: Float64Array,
  g: (x: number) => number,
  logSlope: (x: number) => number,
): NormalisingParameters {
  const transformed = sample.map(g)
  const mean = meanOf(transformed, (y) => y)
  const sd = Math.sqrt(meanOf(transformed, (y) => (y - mean) ** 2))
  const logLikelihood =
    sumOf(sample, logSlope) - sample.length * (Math.log(sd) + 0.5 * Math.log(2 * Math.PI) + 0.5)
  return { gamma: -mean / sd, delta: 1 / sd, logLikelihood }
}
