import { buildChart } from '../charts/chart.ts'
import type { ChartModel, Signal } from '../charts/model.ts'
import type { BuildLabel } from '../charts/places.ts'
import type { Study } from '../charts/study.ts'
import type { Cell } from '../domain/cell.ts'
import type { Axis } from '../domain/characteristic.ts'
import { offsetEffect } from './aim.ts'
import type { AxisEstimate } from './axis-estimate.ts'
import type { ShrinkageFit } from './fit.ts'

/** One figure a build, in the order of the timeline, with its standard error. */
export interface BuildSeries {
  readonly buildIds: readonly number[]
  readonly values: Float64Array
  readonly standardErrors: Float64Array
}

/** Linear shrinkage along an axis by build, as a fraction. Builds without an estimate are passed over. */
export function shrinkageSeries(fit: ShrinkageFit, axis: Axis): BuildSeries {
  return seriesOf(fit, ({ axes }) => axes[axis]?.shrinkage ?? null)
}

/** Offset along an axis by build, mm. */
export function offsetSeries(fit: ShrinkageFit, axis: Axis): BuildSeries {
  return seriesOf(fit, ({ axes }) => axes[axis]?.offset ?? null)
}

/**
 * The scale factor that would have put each build's axis on nominal: shrinkage and offset taken together, see
 * `offsetEffect`.
 */
export function neededFactorSeries(fit: ShrinkageFit, axis: Axis): BuildSeries {
  const effect = offsetEffect(fit.terms, axis)
  return seriesOf(fit, ({ axes }) => {
    const estimate = axes[axis]
    return estimate === null ? null : neededFactor(estimate, effect)
  })
}

/** @param effect of the offset on the axis, 1/mm */
function neededFactor(
  { shrinkage, offset, covariance }: AxisEstimate,
  effect: number,
): { readonly value: number; readonly standardError: number } {
  const kept = 1 - shrinkage.value
  const value = (1 - effect * (offset?.value ?? 0)) / kept
  const byShrinkage = value / kept
  const byOffset = -effect / kept
  const variance =
    (byShrinkage * shrinkage.standardError) ** 2 +
    (byOffset * (offset?.standardError ?? 0)) ** 2 +
    2 * byShrinkage * byOffset * covariance
  return { value, standardError: Math.sqrt(Math.max(0, variance)) }
}

/**
 * Difference of shrinkage by build, first axis less second, as a fraction. The estimates of two axes of a build are
 * taken as independent.
 */
export function anisotropySeries(fit: ShrinkageFit, first: Axis, second: Axis): BuildSeries {
  return seriesOf(fit, ({ axes }) => {
    const one = axes[first]?.shrinkage
    const other = axes[second]?.shrinkage
    if (one === undefined || other === undefined) return null
    return {
      value: one.value - other.value,
      standardError: Math.hypot(one.standardError, other.standardError),
    }
  })
}

function seriesOf(
  fit: ShrinkageFit,
  of: (
    build: ShrinkageFit['perBuild'][number],
  ) => { readonly value: number; readonly standardError: number } | null,
): BuildSeries {
  const buildIds: number[] = []
  const values: number[] = []
  const standardErrors: number[] = []
  for (const build of fit.perBuild) {
    const estimate = of(build)
    if (estimate === null) continue
    buildIds.push(build.id)
    values.push(estimate.value)
    standardErrors.push(estimate.standardError)
  }
  return { buildIds, values: Float64Array.from(values), standardErrors: Float64Array.from(standardErrors) }
}

/** A series charted as individuals, like any characteristic. `ChartModel.subgroups` runs parallel to the series. */
export function chartSeries(series: BuildSeries, study: Study, builds: readonly BuildLabel[]): ChartModel {
  const cells = series.buildIds.map((buildId, i): Cell => {
    const mean = series.values[i] as number
    return {
      characteristicId: 0,
      buildId,
      furnaceLoadId: null,
      stage: study.stage,
      n: 1,
      mean,
      m2: 0,
      min: mean,
      max: mean,
    }
  })
  return buildChart(study, cells, builds)
}

/** A signal counts as open while one of the last so many builds belongs to it; the longest run test takes eight. */
const LATEST = 8

/**
 * Signals that a series' chart still shows in its latest builds and that nobody has explained: none of the builds that
 * make them up has a finding.
 *
 * @param explained ids of builds with a finding
 */
export function openSignals(chart: ChartModel, explained: ReadonlySet<number>): Signal[] {
  const last = chart.subgroups.length - LATEST
  return chart.signals.filter(
    ({ points }) =>
      points.some((i) => i >= last) &&
      !points.some((i) => explained.has(chart.subgroups[i]?.buildId as number)),
  )
}
