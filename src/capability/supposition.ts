import { sigmaWithin } from '../charts/estimates.ts'
import { KINDS_WITH_FLOOR } from '../domain/characteristic.ts'
import { effectiveSample } from './effective.ts'
import type { Limits } from './indices.ts'
import { bindingLimits } from './quantile-method.ts'
import type { Shape, ShapeFigures } from './shape.ts'
import type { CapabilityBasis } from './summarise.ts'
import { toleranceUsed } from './tolerance-used.ts'
import { type SupposedFigures, type Supposition, whatIf } from './what-if.ts'

/** Why something cannot be supposed of a characteristic. */
export type SuppositionObstacle =
  | 'no spread'
  | 'no limits'
  | 'crossed limits'
  | 'far limit'
  | 'no middle'
  | 'floor'
  | 'single values'
  | 'no spread inside'
  | 'not normal'

/** In sigmas: farther from the mean no index says anything, and its interval takes minutes. */
const FARTHEST_LIMIT = 1000

/** The limits that parts could break under a supposition, in the unit that they are judged in. */
function supposedLimits({ characteristic }: CapabilityBasis, { limits }: Supposition): Limits {
  return bindingLimits(limits ?? characteristic, characteristic.kind)
}

/** What stands against a supposition; null where its figures can be worked out. */
export function suppositionObstacle(
  basis: CapabilityBasis,
  supposition: Supposition,
): SuppositionObstacle | null {
  const moments = basis.groups.map((group) => group.moments)
  const sample = effectiveSample(moments)
  if (sample === null) return 'no spread'
  const { lower, upper } = supposedLimits(basis, supposition)
  if (lower === null && upper === null) return 'no limits'
  if (lower !== null && upper !== null && lower >= upper) return 'crossed limits'
  const isFar = (limit: number | null) =>
    limit !== null && Math.abs(limit - sample.mean) > FARTHEST_LIMIT * sample.sigma
  if (isFar(lower) || isFar(upper)) return 'far limit'
  const byQuantiles = basis.shape?.byQuantiles ?? null
  if (supposition.centred) {
    if (lower === null || upper === null) return 'no middle'
    if (byQuantiles !== null && KINDS_WITH_FLOOR.has(basis.characteristic.kind)) return 'floor'
  }
  if (supposition.buildsAlike) {
    if (byQuantiles !== null) return 'not normal'
    const within = sigmaWithin(moments, basis.study.within)
    if (within === null) return 'single values'
    if (within.sigma === 0) return 'no spread inside'
  }
  return null
}

/** Figures of a normal characteristic under a supposition that nothing stands against; see `whatIf`. */
export function supposeNormal(basis: CapabilityBasis, supposition: Supposition): SupposedFigures | null {
  const moments = basis.groups.map((group) => group.moments)
  const sample = effectiveSample(moments)
  if (sample === null) return null
  const limits = supposedLimits(basis, supposition)
  const within = sigmaWithin(moments, basis.study.within)
  return whatIf(limits, sample, within, { ...supposition, limits: null }, basis.requirement.confidence)
}

/**
 * Limits against which the values as they are have the figures that they would have under the supposition: to move the
 * values to the middle of the limits is to move the limits to the middle of the values, X50 %.
 */
export function limitsForValues(
  basis: CapabilityBasis,
  supposition: Supposition,
  { middle }: ShapeFigures,
): Limits {
  const limits = supposedLimits(basis, supposition)
  const shift = supposition.centred ? centringShift(limits, middle) : 0
  return { lower: moved(limits.lower, shift), upper: moved(limits.upper, shift) }
}

/**
 * Figures of a characteristic that is not normal, under a supposition that nothing stands against.
 *
 * @param shape its distribution, judged against `limitsForValues`
 * @returns null where there is no interval, and so no index
 */
export function supposeShaped(
  basis: CapabilityBasis,
  supposition: Supposition,
  shape: Shape,
): SupposedFigures | null {
  const sample = effectiveSample(basis.groups.map((group) => group.moments))
  const figures = shape.byQuantiles
  if (sample === null || figures === null || figures.interval === null) return null
  const limits = supposedLimits(basis, supposition)
  const shift = supposition.centred ? centringShift(limits, figures.middle) : 0
  return {
    ...figures.indices,
    limits,
    mean: sample.mean + shift,
    sigma: sample.sigma,
    outside: figures.outside,
    toleranceUsed: toleranceUsed(figures.indices),
  }
}

function centringShift({ lower, upper }: Limits, middle: number): number {
  return ((lower as number) + (upper as number)) / 2 - middle
}

function moved(limit: number | null, shift: number): number | null {
  return limit === null ? null : limit - shift
}
