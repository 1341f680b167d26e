import { ArgumentError } from '../errors.ts'
import { requireFraction } from './argument-range.ts'
import { balancedModel, type MeanSquare } from './balanced-analysis.ts'
import { balancedEstimates } from './study-estimates.ts'

/** What a gauge study is to find out, and how surely. */
export interface StudyAim {
  /** The gauge's share of what is seen, or of the tolerance, as standard deviations. */
  readonly of: 'spread' | 'tolerance'
  /** The share that is expected, above 0; below 1 for the spread. */
  readonly share: number
  /** Share of the gauge's variance that inspectors are expected to add, from 0 up to and not including 1. */
  readonly inspectorShare: number
  /** Half the length that the interval of the share may have. */
  readonly halfWidth: number
  readonly confidence: number
}

export interface StudyPlan {
  readonly parts: number
  readonly inspectors: number
  readonly trials: number
  readonly readings: number
  /** Half the length of the interval to be expected. */
  readonly halfWidth: number
}

/** The most that a shop can bring together, each at least 2 (inspectors 1). */
export interface StudyBounds {
  readonly parts: number
  readonly inspectors: number
  readonly trials: number
}

export const STUDY_BOUNDS: StudyBounds = { parts: 60, inspectors: 10, trials: 5 }

/**
 * Half the length of the interval that a balanced study would give if its mean squares came out as expected, without
 * interaction. With few inspectors the interval is long whatever the number of parts.
 *
 * Source: the intervals of `gaugeStudy` at the expected mean squares.
 *
 * @throws ArgumentError where the aim is out of range, parts or trials are fewer than 2, or a single inspector is
 *   expected to add variance
 */
export function expectedHalfWidth(aim: StudyAim, parts: number, inspectors: number, trials: number): number {
  checkAim(aim)
  for (const [name, count, least] of [
    ['parts', parts, 2],
    ['inspectors', inspectors, 1],
    ['trials', trials, 2],
  ] as const) {
    if (!(Number.isInteger(count) && count >= least)) {
      throw new ArgumentError(name, `${count} is not a whole number from ${least} up`)
    }
  }
  if (inspectors === 1 && aim.inspectorShare > 0) {
    throw new ArgumentError('inspectors', 'a single inspector does not show what inspectors add')
  }
  return halfWidth(aim, parts, inspectors, trials)
}

/**
 * The balanced study of fewest readings whose interval is expected to be as short as asked; of equal ones, the one of
 * more parts. The study shows what its parts and inspectors are like, so that both should be drawn from the work itself.
 *
 * Source: as `expectedHalfWidth`.
 *
 * @returns null where no study within the bounds is enough
 * @throws ArgumentError where aim or bounds are out of range
 */
export function planStudy(aim: StudyAim, bounds: StudyBounds = STUDY_BOUNDS): StudyPlan | null {
  checkAim(aim)
  for (const [name, least] of [
    ['parts', 2],
    ['inspectors', 1],
    ['trials', 2],
  ] as const) {
    if (!(Number.isInteger(bounds[name]) && bounds[name] >= least)) {
      throw new ArgumentError('bounds', `${name}: ${bounds[name]} is not a whole number from ${least} up`)
    }
  }
  let best: StudyPlan | null = null
  const fewest = aim.inspectorShare > 0 ? 2 : 1
  // Inspectors who add nothing need not be many.
  const most = aim.inspectorShare > 0 ? bounds.inspectors : Math.min(1, bounds.inspectors)
  for (let inspectors = fewest; inspectors <= most; inspectors++) {
    for (let trials = 2; trials <= bounds.trials; trials++) {
      const parts = fewestParts(aim, inspectors, trials, bounds.parts)
      if (parts === null) continue
      const readings = parts * inspectors * trials
      if (best !== null && (readings > best.readings || (readings === best.readings && parts <= best.parts)))
        continue
      best = { parts, inspectors, trials, readings, halfWidth: halfWidth(aim, parts, inspectors, trials) }
    }
  }
  return best
}

/** More parts make the interval shorter: found by halving. */
function fewestParts(aim: StudyAim, inspectors: number, trials: number, most: number): number | null {
  const enough = (parts: number) => halfWidth(aim, parts, inspectors, trials) <= aim.halfWidth
  if (!enough(most)) return null
  let low = 1
  let high = most
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2)
    if (enough(middle)) high = middle
    else low = middle
  }
  return high
}

function halfWidth(aim: StudyAim, p: number, o: number, r: number): number {
  const gauge = aim.share ** 2
  const part = aim.of === 'spread' ? 1 - gauge : 1
  const inspector = aim.inspectorShare * gauge
  const error = gauge - inspector
  const expected: [MeanSquare['source'], number, number][] = [
    ['part', p - 1, error + o * r * part],
    ['inspector', o - 1, error + p * r * inspector],
    ['repeatability', p * o * r - p - o + 1, error],
  ]
  const squares = expected
    .filter(([, df]) => df > 0)
    .map(([source, df, meanSquare]) => ({ source, df, meanSquare, sumOfSquares: df * meanSquare }))
  const { variances, gaugeShare } = balancedEstimates(balancedModel(squares, p, o, r), aim.confidence)
  const figure = aim.of === 'spread' ? gaugeShare : variances.gauge
  return (Math.sqrt(figure?.upper ?? Number.POSITIVE_INFINITY) - Math.sqrt(figure?.lower ?? 0)) / 2
}

function checkAim({ of, share, inspectorShare, halfWidth, confidence }: StudyAim): void {
  if (!(share > 0 && share < (of === 'spread' ? 1 : Number.POSITIVE_INFINITY))) {
    throw new ArgumentError('share', `${share} is not a share to be expected`)
  }
  if (!(inspectorShare >= 0 && inspectorShare < 1)) {
    throw new ArgumentError('inspectorShare', `${inspectorShare} is not a share from 0 to below 1`)
  }
  if (!(halfWidth > 0)) throw new ArgumentError('halfWidth', `${halfWidth} is not above 0`)
  requireFraction('confidence', confidence)
}
