import type { ChartModel } from '../charts/model.ts'
import { ArgumentError } from '../errors.ts'
import { type Component, componentAt } from './component.ts'
import { type LinearFit, leastSquares } from './least-squares.ts'
import type { Residuals } from './sums.ts'

export type Quantity = 'location' | 'spread'

/** One series over one phase, with the changes found in it so far. */
export interface Series {
  readonly quantity: Quantity
  /** Positions of the characteristics that it stands for. */
  readonly members: readonly number[]
  /** Whether it is the common series of several characteristics. */
  readonly pooled: boolean
  /** First position on the timeline. */
  readonly start: number
  readonly values: Float64Array
  /** 0 where there is no value. Otherwise 1 on average. */
  readonly weights: Float64Array
  /** Values present. */
  readonly n: number
  components: Component[]
}

export function endOf(series: Series): number {
  return series.start + series.values.length - 1
}

/** A chart laid out on the timeline. */
export interface TimedChart {
  readonly chart: ChartModel
  /** Timeline position of each subgroup. */
  readonly positions: readonly number[]
  /** Timeline position that each phase begins at; the first begins at 0. */
  readonly phaseStarts: readonly number[]
}

export function timedChart(chart: ChartModel, place: ReadonlyMap<number, number>): TimedChart {
  const positions = chart.subgroups.map(({ buildId, label }) => {
    const position = place.get(buildId)
    if (position === undefined)
      throw new ArgumentError('builds', `build ${label} of a chart is not among them`)
    return position
  })
  const phaseStarts = chart.phases.map((phase, i) => (i === 0 ? 0 : (positions[phase.from] as number)))
  return { chart, positions, phaseStarts }
}

/**
 * Build means of one characteristic, in its unit, over the positions [start, end) of the timeline. Builds that are left
 * out of the chart have none.
 */
export function locationSeries(item: TimedChart, member: number, start: number, end: number): Series {
  const values = new Float64Array(end - start)
  const weights = new Float64Array(end - start)
  const { subgroups, phases } = item.chart
  for (const phase of phases) {
    const { sigmaWithin, sigmaBetween } = phase
    for (let i = phase.from; i <= phase.to; i++) {
      const at = (item.positions[i] as number) - start
      if (at < 0 || at >= values.length) continue
      const { mean, n, leftOut } = subgroups[i] as ChartModel['subgroups'][number]
      if (leftOut) continue
      values[at] = mean
      const variance =
        sigmaWithin === null || sigmaBetween === null ? 0 : sigmaBetween ** 2 + sigmaWithin ** 2 / n
      weights[at] = variance > 0 ? 1 / variance : 1
    }
  }
  return finished('location', [member], false, start, values, weights)
}

/**
 * Scatter inside the builds of one characteristic as deviates that are close to standard normal while it stays as in
 * the baseline: E. B. Wilson and M. M. Hilferty's cube root of chi-square over its degrees of freedom (Proceedings
 * of the National Academy of Sciences 17 (1931), 684–688).
 */
export function spreadSeries(item: TimedChart, member: number, start: number, end: number): Series {
  const values = new Float64Array(end - start)
  const weights = new Float64Array(end - start)
  const { subgroups, phases } = item.chart
  for (const { from, to, sigmaWithin } of phases) {
    if (sigmaWithin === null || sigmaWithin === 0) continue
    for (let i = from; i <= to; i++) {
      const at = (item.positions[i] as number) - start
      if (at < 0 || at >= values.length) continue
      const { sd, n, leftOut } = subgroups[i] as ChartModel['subgroups'][number]
      if (sd === null || leftOut) continue
      const variance = 2 / (9 * (n - 1))
      values[at] = (Math.cbrt((sd / sigmaWithin) ** 2) - 1 + variance) / Math.sqrt(variance)
      weights[at] = 1
    }
  }
  return finished('spread', [member], false, start, values, weights)
}

/**
 * The common series of several characteristics: build by build the mean of their deviations, each in percent of its
 * nominal (location) or as it is (spread), the steadier ones counting more.
 *
 * Members share each build's shrinkage, so that they say nearly the same thing several times. Their likelihoods are
 * therefore not multiplied. The mean is one series, its scatter from build to build is estimated from itself, and
 * the likelihood of a change in it is that of one series.
 */
export function pooledSeries(singles: readonly Series[], nominals: readonly (number | null)[]): Series {
  const [first] = singles as [Series]
  const length = first.values.length
  const values = new Float64Array(length)
  const weights = new Float64Array(length)
  const precision = new Float64Array(length)
  const count = new Float64Array(length)
  for (const single of singles) {
    const nominal = nominals[single.members[0] as number]
    const unit = single.quantity === 'location' ? 100 / (nominal as number) : 1
    const { level, variance } = levelAndVariance(single)
    const steadiness = variance > 0 ? 1 / (variance * unit * unit) : 0
    for (let i = 0; i < length; i++) {
      const weight = single.weights[i] as number
      if (weight === 0 || steadiness === 0) continue
      values[i] = (values[i] as number) + steadiness * unit * ((single.values[i] as number) - level)
      precision[i] = (precision[i] as number) + steadiness
      weights[i] = (weights[i] as number) + weight
      count[i] = (count[i] as number) + 1
    }
  }
  for (let i = 0; i < length; i++) {
    if (count[i] === 0) continue
    values[i] = (values[i] as number) / (precision[i] as number)
    weights[i] = (weights[i] as number) / (count[i] as number)
  }
  const members = singles.map((single) => single.members[0] as number)
  return finished(first.quantity, members, true, first.start, values, weights)
}

/** Mean, and half the mean squared step from value to value, which slow changes hardly touch. */
function levelAndVariance({ values, weights }: Series): { level: number; variance: number } {
  let sum = 0
  let n = 0
  let squares = 0
  let last: number | null = null
  for (let i = 0; i < values.length; i++) {
    if (weights[i] === 0) continue
    const value = values[i] as number
    sum += value
    n++
    if (last !== null) squares += (value - last) ** 2
    last = value
  }
  return { level: n === 0 ? 0 : sum / n, variance: n < 2 ? 0 : squares / (2 * (n - 1)) }
}

function finished(
  quantity: Quantity,
  members: readonly number[],
  pooled: boolean,
  start: number,
  values: Float64Array,
  weights: Float64Array,
): Series {
  let n = 0
  let sum = 0
  for (const weight of weights) {
    if (weight > 0) n++
    sum += weight
  }
  for (let i = 0; i < weights.length; i++) weights[i] = n === 0 ? 0 : ((weights[i] as number) * n) / sum
  return { quantity, members, pooled, start, values, weights, n, components: [] }
}

/**
 * Least-squares fit of the level, the changes found so far, and what the values that changes are confined to do anyway.
 */
export interface SeriesFit extends LinearFit, Residuals {
  readonly df: number
}

export function fitSeries(series: Series, components: readonly Component[] = series.components): SeriesFit {
  const key = components.map(keyOf).join(';')
  const known = remembered.get(series)
  if (known?.key === key) return known.fit
  const fit = newFit(series, components)
  remembered.set(series, { key, fit })
  return fit
}

/** The latest fit of each series: the same one is asked for many times over while an event is described. */
const remembered = new WeakMap<Series, { readonly key: string; readonly fit: SeriesFit }>()

function keyOf({ from, to, form, value }: Component): string {
  return value === null ? `${from},${to},${form}` : `${from},${to},${form},${value.condition}=${value.value}`
}

function newFit(series: Series, components: readonly Component[]): SeriesFit {
  const { values, weights, start } = series
  if (components.length === 0) {
    return { ...meanFit(values, weights), start, weights, df: Math.max(1, series.n - 1) }
  }
  const n = values.length
  const columns = components.map((component) => {
    const column = new Float64Array(n)
    const last = Math.min(n - 1, component.to - start)
    for (let i = Math.max(0, component.from - start); i <= last; i++) {
      column[i] = componentAt(component, start + i)
    }
    return column
  })
  columns.push(new Float64Array(n).fill(1))
  const confinedTo = new Set(components.flatMap(({ value }) => (value === null ? [] : [value])))
  for (const { share } of confinedTo) columns.push(share.slice(start, start + n))
  const fit = leastSquares(columns, values, weights)
  return { ...fit, start, weights, df: Math.max(1, series.n - columns.length - components.length) }
}

/** The series with everything fitted taken off but one component. */
export function without(series: Series, fit: SeriesFit, component: Component): Residuals {
  const size = fit.coefficients[series.components.indexOf(component)] as number
  const residuals = Float64Array.from(fit.residuals)
  const last = Math.min(residuals.length - 1, component.to - fit.start)
  for (let i = component.from - fit.start; i <= last; i++) {
    residuals[i] = (residuals[i] as number) + size * componentAt(component, fit.start + i)
  }
  return { start: fit.start, residuals, weights: fit.weights }
}

function meanFit(values: Float64Array, weights: Float64Array): LinearFit {
  let w = 0
  let wy = 0
  for (let i = 0; i < values.length; i++) {
    w += weights[i] as number
    wy += (weights[i] as number) * (values[i] as number)
  }
  const mean = wy / w
  const residuals = new Float64Array(values.length)
  let squares = 0
  for (let i = 0; i < values.length; i++) {
    const residual = (values[i] as number) - mean
    residuals[i] = residual
    squares += (weights[i] as number) * residual * residual
  }
  return { coefficients: NONE, variances: NONE, residuals, squares }
}

const NONE = new Float64Array(0)
