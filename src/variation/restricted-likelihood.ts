import type { Nesting } from './nesting.ts'

/** Minus twice the restricted log-likelihood of nested variance components, and what goes with it. */
export interface RestrictedDeviance {
  readonly value: number
  /** Derivatives by the variances, in their order. */
  readonly gradient: Float64Array
  /** Generalised least squares estimate of the mean. */
  readonly mean: number
  /** Variance of that estimate. */
  readonly meanVariance: number
}

/**
 * Deviance and gradient at given variances, in time proportional to the number of groups.
 *
 * A group's covariance matrix is that of its members, block by block, plus its own variance v times a matrix of ones.
 * With a = 1'V⁻¹1, the weighted mean m = 1'V⁻¹y / a and the weighted sum of squares around it, members add up as
 * weighted means do; then v turns a into a / (1 + v a), leaves m and the sum of squares as they are, and multiplies
 * the determinant by 1 + v a (Sherman–Morrison and the matrix determinant lemma). No matrix is ever formed, and
 * nothing large is subtracted. Derivatives follow by the chain rule, group by group.
 *
 * Source of the criterion: D. A. Harville, Maximum likelihood approaches to variance component estimation and to
 * related problems, Journal of the American Statistical Association 72 (1977), 320–338.
 *
 * @param variances one for each level from the outermost inwards, not negative, and last that of values within the
 *   innermost groups, above 0
 */
export function restrictedDeviance(nesting: Nesting, variances: ArrayLike<number>): RestrictedDeviance {
  const { n, groups, parents, classes, withinSquares } = nesting
  const width = variances.length
  const last = width - 1
  const residual = variances[last] as number
  const inner = variances[last - 1] as number
  const gradient = new Float64Array(width)
  const add = (k: number, by: number) => {
    gradient[k] = (gradient[k] as number) + by
  }

  let value = (n - 1) * Math.log(2 * Math.PI) + withinSquares / residual
  add(last, -withinSquares / (residual * residual))

  // Members of the level in hand: weight, mean, derivatives of both (rows of `width`), and parent.
  let count = classes.size.length
  let weight = new Float64Array(count)
  let mean = classes.mean
  let weightBy = new Float64Array(count * width)
  let meanBy = new Float64Array(count * width)
  let parent = classes.parent
  for (let c = 0; c < count; c++) {
    const size = classes.size[c] as number
    const number = classes.groups[c] as number
    const total = residual + size * inner
    const one = size / total
    const spread = classes.spread[c] as number
    value += number * ((size - 1) * Math.log(residual) + Math.log(total)) + one * spread
    const oneByInner = -one * one
    const oneByResidual = oneByInner / size
    add(last - 1, number * one + oneByInner * spread)
    add(last, number * ((size - 1) / residual + 1 / total) + oneByResidual * spread)
    weight[c] = number * one
    weightBy[c * width + last - 1] = number * oneByInner
    weightBy[c * width + last] = number * oneByResidual
  }

  // From the level above the innermost out to the whole, which is like a level of one group with no variance.
  for (let level = last - 2; level >= -1; level--) {
    const size = level < 0 ? 1 : (groups[level] as number)
    const sums = new Float64Array(size)
    const means = new Float64Array(size)
    const sumsBy = new Float64Array(size * width)
    const meansBy = new Float64Array(size * width)
    for (let i = 0; i < count; i++) {
      const p = parent[i] as number
      sums[p] = (sums[p] as number) + (weight[i] as number)
      means[p] = (means[p] as number) + (weight[i] as number) * (mean[i] as number)
    }
    for (let p = 0; p < size; p++) means[p] = (means[p] as number) / (sums[p] as number)
    for (let i = 0; i < count; i++) {
      const p = parent[i] as number
      const w = weight[i] as number
      const deviation = (mean[i] as number) - (means[p] as number)
      const square = deviation * deviation
      value += w * square
      // Members depend on the variances from their own level inwards.
      for (let k = level + 1; k < width; k++) {
        const wBy = weightBy[i * width + k] as number
        const mBy = meanBy[i * width + k] as number
        add(k, wBy * square + 2 * w * deviation * mBy)
        sumsBy[p * width + k] = (sumsBy[p * width + k] as number) + wBy
        meansBy[p * width + k] = (meansBy[p * width + k] as number) + wBy * deviation + w * mBy
      }
    }
    const v = level < 0 ? 0 : (variances[level] as number)
    for (let p = 0; p < size; p++) {
      const a = sums[p] as number
      const factor = 1 + v * a
      const at = p * width
      for (let k = level + 1; k < width; k++) meansBy[at + k] = (meansBy[at + k] as number) / a
      if (level < 0) continue
      value += Math.log1p(v * a)
      add(level, a / factor)
      for (let k = level + 1; k < width; k++) {
        const by = sumsBy[at + k] as number
        add(k, (v * by) / factor)
        sumsBy[at + k] = by / (factor * factor)
      }
      sumsBy[at + level] = (sumsBy[at + level] as number) - (a / factor) ** 2
      sums[p] = a / factor
    }
    count = size
    weight = sums
    mean = means
    weightBy = sumsBy
    meanBy = meansBy
    if (level >= 0) parent = parents[level] as Int32Array
  }

  const information = weight[0] as number
  value += Math.log(information)
  for (let k = 0; k < width; k++) add(k, (weightBy[k] as number) / information)
  return { value, gradient, mean: nesting.origin + (mean[0] as number), meanVariance: 1 / information }
}
