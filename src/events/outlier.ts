import type { Subgroup } from '../charts/model.ts'
import type { Outlier } from './event.ts'

/** Standard deviations from the others beyond which one value counts as far out. */
const FAR = 4

/**
 * The one value that makes a build's scatter stand out: the smallest or the largest of its values, where it lies far
 * from the others and these scatter as usual. Computed from the summary of the build alone.
 *
 * @param sigma standard deviation inside builds, above 0
 * @param usual largest standard deviation of the others, in sigmas, that passes as usual
 */
export function outlierOf({ n, mean, sd, min, max }: Subgroup, sigma: number, usual = 1.5): Outlier | null {
  if (n < 4 || sd === null) return null
  const value = mean - min > max - mean ? min : max
  const others = mean + (mean - value) / (n - 1)
  const sigmas = (value - others) / sigma
  const squares = (n - 1) * sd * sd - ((n - 1) / n) * (value - others) ** 2
  const sdOfOthers = Math.sqrt(Math.max(0, squares) / (n - 2))
  if (Math.abs(sigmas) < FAR || sdOfOthers > usual * sigma) return null
  const decimals = Math.max(decimalPlaces(min), decimalPlaces(max))
  return { value, others, sigmas, exchanged: exchangedDigits(value, decimals, others, FAR * sigma) }
}

/** The value with two neighbouring digits exchanged that comes nearest to `others`; null where none comes near. */
function exchangedDigits(value: number, decimals: number, others: number, near: number): number | null {
  const text = Math.abs(value).toFixed(decimals)
  let best: number | null = null
  for (let i = 0; i + 1 < text.length; i++) {
    const j = text[i + 1] === '.' ? i + 2 : i + 1
    const [a, b] = [text[i], text[j]]
    if (a === '.' || a === b || b === undefined) continue
    const exchanged = text.slice(0, i) + b + text.slice(i + 1, j) + a + text.slice(j + 1)
    const candidate = Math.sign(value) * Number(exchanged)
    if (Math.abs(candidate - others) > near) continue
    if (best === null || Math.abs(candidate - others) < Math.abs(best - others)) best = candidate
  }
  return best
}

/** Decimals of a number as it is written in full. */
function decimalPlaces(value: number): number {
  const [mantissa = '', exponent = '0'] = String(value).split('e')
  const point = mantissa.indexOf('.')
  const places = point === -1 ? 0 : mantissa.length - point - 1
  return Math.min(15, Math.max(0, places - Number(exponent)))
}
