import { momentsOf, variance } from '../description/moments.ts'
import type { Axis } from '../domain/characteristic.ts'
import { type Estimate, estimator } from './estimate.ts'
import type { ShrinkageFit } from './fit.ts'
import { anisotropySeries } from './series.ts'

/** How much more one axis shrinks than another. */
export interface Anisotropy {
  readonly first: Axis
  readonly second: Axis
  /** Shrinkage of the first axis less that of the second, as a fraction: mean of the builds and its interval. */
  readonly difference: Estimate
}

/**
 * Differences of shrinkage between axes from the differences within builds, so that what moves all axes of a build
 * alike drops out. Student's interval over builds. Pairs with fewer than two builds are left out.
 */
export function anisotropy(fit: ShrinkageFit): Anisotropy[] {
  const pairs: readonly (readonly [Axis, Axis])[] = [
    ['Z', 'X'],
    ['Z', 'Y'],
    ['Y', 'X'],
  ]
  return pairs.flatMap(([first, second]) => {
    const { values } = anisotropySeries(fit, first, second)
    if (values.length < 2) return []
    const moments = momentsOf(values)
    const error = (variance(moments) as number) / moments.n
    return [{ first, second, difference: estimator(moments.n - 1, fit.confidence)(moments.mean, error) }]
  })
}
