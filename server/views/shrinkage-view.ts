import type { Build, ScaleFactors } from '../../src/domain/build.ts'
import type { Axis, Characteristic } from '../../src/domain/characteristic.ts'
import type { ChartNote } from '../../src/figures/chart-panel-model.ts'
import type { Advice } from '../../src/shrinkage/advice.ts'
import { adviceWords } from '../../src/shrinkage/advice-words.ts'
import { anisotropy } from '../../src/shrinkage/anisotropy.ts'
import { expectedSizes } from '../../src/shrinkage/expected-sizes.ts'
import { greenLimits } from '../../src/shrinkage/green-limits.ts'
import { obstacles } from '../../src/shrinkage/obstacles.ts'
import { type Prediction, predictChange } from '../../src/shrinkage/predict.ts'
import {
  anisotropySeries,
  type BuildSeries,
  chartSeries,
  offsetSeries,
  shrinkageSeries,
} from '../../src/shrinkage/series.ts'
import { AXES, type SizeTerms } from '../../src/shrinkage/terms.ts'
import type {
  AxisShrinkageView,
  PredictionView,
  ReplayView,
  SeriesChartView,
  ShrinkageView,
} from '../contract/shrinkage.ts'
import type { PartNumber, TimelineBuild } from '../contract/views.ts'
import { kept } from '../store/kept.ts'
import type { Store } from '../store/store.ts'
import { type Written, writtenOf } from './findings.ts'
import { replayViews } from './replay-views.ts'
import { adviceOn, designatorsAlong, problemsOf, SHRINKAGE_STUDY } from './shrinkage-advice.ts'
import { decisionViews } from './shrinkage-decisions.ts'
import { type ShrinkageOnRecord, shrinkageOnRecord } from './shrinkage-fit.ts'
import { settingsView } from './shrinkage-settings-view.ts'

/** Probability that a green part at a guarded limit sinters to within the limits, at either end. */
const GREEN_PROBABILITY = 0.975
/** Builds in which to look for part numbers that are printed along. */
const LATEST = 8

/** How a part number shrinks, what to do about it, and what came of what was decided. Reads cells only. */
export function shrinkageView(store: Store, partNumber: PartNumber): Promise<ShrinkageView> {
  return kept(store, `shrinkage view ${partNumber.id}`, () => compute(store, partNumber))
}

async function compute(store: Store, partNumber: PartNumber): Promise<ShrinkageView> {
  const record = await shrinkageOnRecord(store, partNumber)
  const { characteristics, terms, builds, fit, state, awaited, present, settings } = record
  const written = await writtenOf(store, partNumber.id, 'sintered', characteristics, builds)
  const { advice, charts } = adviceOn(record, written)
  const advised = advisedFactors(advice, present.factors)
  const replays = replayViews(record, settings.adjustment)
  const { headline, groundLines, caution } = adviceWords(advice)
  return {
    partNumber,
    builds,
    headline,
    groundLines,
    caution,
    advice,
    obstacles: obstacles(advice, charts).map((obstacle) => ({
      ...obstacle,
      designator: largestOf(obstacle.axis, terms)?.designator ?? null,
    })),
    axes: AXES.map((axis) => axisView(axis, record, written, replays[axis])),
    anisotropy: anisotropy(fit).map((pair) => ({
      ...pair,
      ...seriesView(scaled(anisotropySeries(fit, pair.first, pair.second), 100), builds),
    })),
    loads: await loadViews(store, record),
    terms,
    factors: { present: present.factors, source: present.source, advised },
    predictions: predictChange(state, present.factors, advised),
    awaited: alikePrinted(awaited).map((own) => ({
      builds: own,
      sizes: expectedSizes(state, own.slice(0, 1)),
    })),
    sharing: await store.partNumbersSharing(
      partNumber.id,
      builds.slice(-LATEST).map((build) => build.id),
    ),
    green: terms.flatMap((term) => greenLimits(state, term, GREEN_PROBABILITY) ?? []),
    greenProbability: GREEN_PROBABILITY,
    problems: problemsOf(record),
    settings: settingsView(record),
    decisions: decisionViews(record),
  }
}

async function loadViews(
  store: Store,
  { partNumber, fit }: ShrinkageOnRecord,
): Promise<ShrinkageView['loads']> {
  const names = new Map((await store.loadsOf(partNumber.id, 'sintered')).map(({ id, name }) => [id, name]))
  return fit.perLoad
    .toSorted((a, b) => a.position - b.position)
    .flatMap(({ id, axes }) => {
      const name = names.get(id)
      return name === undefined ? [] : [{ name, axes }]
    })
}

/** What a decision on factors would be kept with, and the builds that it may not be about any more. */
export interface DecisionDraft {
  readonly before: ScaleFactors
  readonly advised: ScaleFactors
  readonly predictions: readonly Prediction[]
  readonly measured: readonly { readonly id: number; readonly name: string }[]
}

export async function decisionDraft(
  store: Store,
  partNumber: PartNumber,
  factors: ScaleFactors,
): Promise<DecisionDraft> {
  const { present, state, builds } = await shrinkageOnRecord(store, partNumber)
  const { factors: shown } = await shrinkageView(store, partNumber)
  return {
    before: present.factors,
    advised: shown.advised,
    predictions: predictChange(state, present.factors, factors),
    measured: builds.map(({ id, name }) => ({ id, name })),
  }
}

/** Builds grouped by the factors that they were printed with. */
function alikePrinted(builds: readonly Build[]): Build[][] {
  const groups = new Map<string, Build[]>()
  for (const build of builds) {
    const key = JSON.stringify([build.scale.x, build.scale.y, build.scale.z])
    const known = groups.get(key)
    if (known === undefined) groups.set(key, [build])
    else known.push(build)
  }
  return [...groups.values()]
}

/** What would come of given factors. */
export async function predictionView(
  store: Store,
  partNumber: PartNumber,
  factors: ScaleFactors,
): Promise<PredictionView> {
  const { state, present } = await shrinkageOnRecord(store, partNumber)
  return {
    present: present.factors,
    factors,
    predictions: predictChange(state, present.factors, factors),
  }
}

/** As advised, rounded to the four decimals that print jobs take, so that what is predicted is what is printed. */
function advisedFactors(advice: Advice, present: ScaleFactors): ScaleFactors {
  const of = (axis: Axis, otherwise: number | null) => {
    const next = advice.axes.find((each) => each.axis === axis)?.next ?? null
    return next === null ? otherwise : Number(next.toFixed(4))
  }
  return { x: of('X', present.x), y: of('Y', present.y), z: of('Z', present.z) }
}

/** The characteristic that shows a change of shrinkage along the axis best: its longest. */
function largestOf(axis: Axis, terms: readonly SizeTerms[]): Characteristic | null {
  const own = terms.filter(({ weights }) => weights[axis] > 0.5).map(({ characteristic }) => characteristic)
  return own.reduce<Characteristic | null>(
    (largest, each) => ((each.nominal ?? 0) > (largest?.nominal ?? 0) ? each : largest),
    null,
  )
}

function axisView(
  axis: Axis,
  record: ShrinkageOnRecord,
  { findings }: Written,
  played: ReplayView | null,
): AxisShrinkageView {
  const { fit, builds, terms } = record
  const along = designatorsAlong(axis, terms)
  const shrinkage = scaled(shrinkageSeries(fit, axis), 100)
  const offset = offsetSeries(fit, axis)
  const notes = findings.flatMap(({ places, characteristics, cause }): ChartNote[] =>
    places === null || !characteristics.some((each) => along.has(each)) ? [] : [{ ...places, text: cause }],
  )
  return {
    axis,
    overall: fit.overall[axis],
    variation: fit.variation[axis],
    shrinkage: shrinkage.buildIds.length === 0 ? null : seriesView(shrinkage, builds),
    offset: offset.buildIds.length === 0 ? null : seriesView(offset, builds),
    notes,
    replay: played,
  }
}

function scaled(series: BuildSeries, by: number): BuildSeries {
  return {
    buildIds: series.buildIds,
    values: series.values.map((value) => value * by),
    standardErrors: series.standardErrors.map((error) => error * by),
  }
}

function seriesView(series: BuildSeries, builds: readonly TimelineBuild[]): SeriesChartView {
  const chart = chartSeries(series, SHRINKAGE_STUDY, builds)
  const place = new Map(builds.map((build, i) => [build.id, i]))
  const error = new Map(series.buildIds.map((id, i) => [id, series.standardErrors[i] as number]))
  return {
    chart,
    positions: chart.subgroups.map(({ buildId }) => place.get(buildId) as number),
    standardErrors: chart.subgroups.map(({ buildId }) => error.get(buildId) as number),
  }
}
