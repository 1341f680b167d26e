import type { Axis } from '../domain/characteristic.ts'
import { ArgumentError } from '../errors.ts'
import { type AxisEstimate, axisEstimate } from './axis-estimate.ts'
import { type Components, fitComponents, type Whole } from './build-components.ts'
import { estimator } from './estimate.ts'
import { groupEstimates } from './group-estimates.ts'
import { type Guess, guessKept, scatterFromLines, type Unit, unitsOf } from './information.ts'
import type { EffectKind } from './mixed-equations.ts'
import { type Observation, observe, type PrintedBuild, perAxis, type ShrinkageData } from './observations.ts'
import { type Coefficient, chooseCoefficients } from './offsets.ts'
import { type PartScatter, scatterOfParts, withOwnScatter } from './part-scatter.ts'
import type { ShrinkageProblem } from './problem.ts'
import { invert } from './small-systems.ts'
import { startVariances } from './start-variances.ts'
import { AXES, type PerAxis, type SizeTerms } from './terms.ts'

/** Along one axis, standard deviations of what builds and loads bring; null where they cannot be told. */
export interface AxisVariation {
  /** Of shrinkage between builds, as a fraction. */
  readonly buildShrinkage: number | null
  /** Of the offset between builds, mm. */
  readonly buildOffset: number | null
  /** Of shrinkage between furnace loads, as a fraction; null where loads cannot be told from builds. */
  readonly loadShrinkage: number | null
  /** Of the relative size of parts inside a build, place in bed and on the tray included. */
  readonly part: number
}

/** One build or furnace load. */
export interface GroupShrinkage {
  /** Build or furnace load id. */
  readonly id: number
  /** By axis; null where nothing usable was measured along it. */
  readonly axes: PerAxis<AxisEstimate | null>
  /** Position on the timeline; for a furnace load that of its first build. */
  readonly position: number
}

export interface ShrinkageFit {
  /** Of all intervals, as a fraction. */
  readonly confidence: number
  readonly terms: readonly SizeTerms[]
  readonly builds: readonly PrintedBuild[]
  /** The process behind the builds: what the next one will be on average. Null where the axis is not fitted. */
  readonly overall: PerAxis<AxisEstimate | null>
  readonly variation: PerAxis<AxisVariation | null>
  /** Each measured build from its own parts, in the order of the timeline. */
  readonly perBuild: readonly GroupShrinkage[]
  /** Each furnace load from its own parts: the mean of what its builds shrank in it, by information. */
  readonly perLoad: readonly GroupShrinkage[]
  /** Cell means behind the fit. */
  readonly observations: readonly Observation[]
  /** Cell means of characteristics that do not count in it. */
  readonly apart: readonly Observation[]
  readonly scatter: PartScatter | null
  readonly problems: readonly ShrinkageProblem[]
}

/**
 * Shrinkage and offset along each axis, overall and by build and furnace load, from cell means by generalised least
 * squares. The scatter of parts comes from inside the cells, that of builds and loads by restricted maximum likelihood.
 * Intervals of a build speak of what its parts shrank; those of the whole take in that builds and loads differ.
 *
 * The time taken goes with the number of cells.
 *
 * @param confidence of the intervals, above 0 and below 1
 * @throws ArgumentError where the confidence is out of range or two terms are of one characteristic
 * @throws ConvergenceError where the variance components are not found
 */
export function fitShrinkage(data: ShrinkageData, confidence = 0.95): ShrinkageFit {
  if (!(confidence > 0 && confidence < 1))
    throw new ArgumentError('confidence', `${confidence} is not between 0 and 1`)
  if (new Set(data.terms.map((t) => t.characteristic.id)).size < data.terms.length)
    throw new ArgumentError('data', 'two terms are of one characteristic')

  const seen = observe(data)
  const chosen = chooseCoefficients(seen.observations.filter((o) => o.terms.counts))
  const { coefficients } = chosen
  const problems = [...seen.problems, ...chosen.problems]
  const fitted = new Set(coefficients.map(({ axis }) => axis))
  const follows = (o: Observation) => AXES.every((axis) => o.terms.weights[axis] === 0 || fitted.has(axis))
  const usable = seen.observations.filter(follows)
  const observations = usable.filter((o) => o.terms.counts)
  const apart = usable.filter((o) => !o.terms.counts)
  const guess = guessKept(observations)
  let scatter = scatterOfParts(observations)
  if (scatter === null && observations.length > 0) {
    problems.push({ kind: 'single-parts' })
    scatter = scatterFromLines(observations, coefficients, guess)
  }
  const common = { confidence, terms: data.terms, builds: data.builds, observations, apart, scatter }
  if (scatter === null) {
    const nothing = { X: null, Y: null, Z: null }
    return { ...common, overall: nothing, variation: nothing, perBuild: [], perLoad: [], problems }
  }
  const units = unitsOf(observations, coefficients, guess, scatter)
  const whole = fitWhole(units, coefficients, problems)
  const overall = overallEstimates(whole, coefficients, guess, scatter, confidence)
  const context = { coefficients, guess, whole, estimate: estimator(scatter.df, confidence) }
  const perBuild = groupEstimates(units, (unit) => unit.build, context)
  const perLoad = groupEstimates(
    units.filter((unit) => unit.load !== null),
    (unit) => unit.load as number,
    context,
  )
  return {
    ...common,
    scatter: withOwnScatter(scatter, apart),
    overall,
    variation: perAxis((axis) => variationOf(axis, whole, coefficients, scatter)),
    perBuild: perBuild.map((group) => ({ ...group, id: (data.builds[group.id] as PrintedBuild).id })),
    perLoad,
    problems,
  }
}

function fitWhole(
  units: readonly Unit[],
  coefficients: readonly Coefficient[],
  problems: ShrinkageProblem[],
): Whole {
  const builds = new Set(units.map((unit) => unit.build)).size
  const loads = new Set(units.map((unit) => unit.load).filter((load) => load !== null)).size
  if (builds < 2) {
    problems.push({ kind: 'one-build' })
    return { ...plain(units, coefficients.length), builds, loads }
  }
  // Crossed somewhere: a load with two builds or a build with two loads.
  const withLoads = loads > 1 && (units.length > builds || units.length > loads)
  if (!withLoads && loads > 0) problems.push({ kind: 'loads-not-told-apart' })
  const possible = coefficients.flatMap(({ quantity }, coefficient): EffectKind[] =>
    withLoads && quantity === 'kept'
      ? [
          { of: 'build', coefficient },
          { of: 'load', coefficient },
        ]
      : [{ of: 'build', coefficient }],
  )
  const kinds = possible.filter((kind) => groupsThatTell(units, kind, coefficients.length) > 1)
  if (kinds.length === 0) return { ...plain(units, coefficients.length), builds, loads }
  const { start, least } = startVariances(units, coefficients, kinds)
  return { ...fitComponents(units, coefficients, kinds, start, least), builds, loads }
}

/** In how many builds or loads something depends on the coefficient; a single one does not tell how they differ. */
function groupsThatTell(units: readonly Unit[], { of, coefficient }: EffectKind, p: number): number {
  const groups = new Set<number>()
  for (const unit of units) {
    const group = of === 'build' ? unit.build : unit.load
    if (group !== null && (unit.information[coefficient * p + coefficient] as number) > 0) groups.add(group)
  }
  return groups.size
}

function plain(units: readonly Unit[], p: number): Components {
  const information = new Float64Array(p * p)
  const score = new Float64Array(p)
  for (const unit of units) {
    for (let i = 0; i < p * p; i++)
      information[i] = (information[i] as number) + (unit.information[i] as number)
    for (let i = 0; i < p; i++) score[i] = (score[i] as number) + (unit.score[i] as number)
  }
  const covariance = invert(information, p) as Float64Array
  const coefficients = score.map((_, i) =>
    score.reduce((sum, s, j) => sum + (covariance[i * p + j] as number) * s, 0),
  )
  return { kinds: [], variances: new Float64Array(0), coefficients, covariance, deviance: Number.NaN }
}

function overallEstimates(
  whole: Whole,
  coefficients: readonly Coefficient[],
  guess: Guess,
  scatter: PartScatter,
  confidence: number,
): PerAxis<AxisEstimate | null> {
  // Where builds differ, they are what the mean is taken over; loads in their place where there are fewer of them.
  const groups = whole.kinds.some(({ of }) => of === 'load')
    ? Math.min(whole.builds, whole.loads)
    : whole.builds
  const df = groups < 2 ? scatter.df : groups - 1
  const estimate = estimator(df, confidence)
  return perAxis((axis) => axisEstimate(axis, whole, coefficients, guess, estimate))
}

function variationOf(
  axis: Axis,
  { kinds, variances }: Components,
  coefficients: readonly Coefficient[],
  scatter: PartScatter,
): AxisVariation | null {
  if (!coefficients.some((c) => c.axis === axis)) return null
  const of = (group: EffectKind['of'], quantity: Coefficient['quantity']) => {
    const t = kinds.findIndex((kind) => {
      const c = coefficients[kind.coefficient] as Coefficient
      return kind.of === group && c.axis === axis && c.quantity === quantity
    })
    return t === -1 ? null : Math.sqrt(variances[t] as number)
  }
  return {
    buildShrinkage: of('build', 'kept'),
    buildOffset: of('build', 'offset'),
    loadShrinkage: of('load', 'kept'),
    part: Math.sqrt(scatter.relative[axis]),
  }
}
