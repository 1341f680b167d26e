import type { ChartModel, Signal } from '../../src/charts/model.ts'
import { DEFAULT_STUDY, type Study } from '../../src/charts/study.ts'
import type { Build, ScaleFactors } from '../../src/domain/build.ts'
import type { Axis, Characteristic } from '../../src/domain/characteristic.ts'
import { answersSignals } from '../../src/domain/finding.ts'
import type { ChartNote } from '../../src/figures/chart-panel-model.ts'
import { type AdjustmentSettings, neededFactors } from '../../src/shrinkage/adjustment.ts'
import { type Advice, advise } from '../../src/shrinkage/advice.ts'
import { adviceWords } from '../../src/shrinkage/advice-words.ts'
import { anisotropy } from '../../src/shrinkage/anisotropy.ts'
import { expectedSizes } from '../../src/shrinkage/expected-sizes.ts'
import type { ShrinkageFit } from '../../src/shrinkage/fit.ts'
import { greenLimits } from '../../src/shrinkage/green-limits.ts'
import { factorAt, perAxis, usableFactor } from '../../src/shrinkage/observations.ts'
import { obstacles } from '../../src/shrinkage/obstacles.ts'
import { type Prediction, predictChange } from '../../src/shrinkage/predict.ts'
import { problemList } from '../../src/shrinkage/problem-list.ts'
import { type FactorHistory, type ReplayedRule, replay } from '../../src/shrinkage/replay.ts'
import {
  anisotropySeries,
  type BuildSeries,
  chartSeries,
  offsetSeries,
  openSignals,
  shrinkageSeries,
} from '../../src/shrinkage/series.ts'
import { settingsWords } from '../../src/shrinkage/settings-words.ts'
import { AXES, type PerAxis, type SizeTerms, termsOf } from '../../src/shrinkage/terms.ts'
import { characteristicTitle } from '../../src/words/format.ts'
import type {
  AxisShrinkageView,
  PredictionView,
  ReplayedRuleView,
  ReplayView,
  SeriesChartView,
  SettingsPreviewView,
  ShrinkageSettingsView,
  ShrinkageView,
} from '../contract/shrinkage.ts'
import type { PartNumber, TimelineBuild } from '../contract/views.ts'
import { kept } from '../store/kept.ts'
import type { ShrinkageSettings } from '../store/shrinkage-settings.ts'
import type { Store } from '../store/store.ts'
import { type Written, writtenOf } from './findings.ts'
import { decisionViews } from './shrinkage-decisions.ts'
import { type ShrinkageOnRecord, shrinkageOnRecord, underSettings } from './shrinkage-fit.ts'

const STUDY: Study = { ...DEFAULT_STUDY, stage: 'sintered' }
/** Probability that a green part at a guarded limit sinters to within the limits, at either end. */
const GREEN_PROBABILITY = 0.975
/** Builds already printed when a build's measurements arrive. */
const DELAY = 1
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

/** The advice, with the charts whose signals it heeds. */
function adviceOn(record: ShrinkageOnRecord, written: Written) {
  const { terms, builds, fit, present, settings } = record
  const charts = new Map<Axis, { chart: ChartModel; open: readonly Signal[] }>()
  for (const axis of AXES) {
    const series = shrinkageSeries(fit, axis)
    if (series.buildIds.length === 0) continue
    const chart = chartSeries(series, STUDY, builds)
    charts.set(axis, { chart, open: openSignals(chart, explainedBuilds(axis, terms, builds, written)) })
  }
  const unexplained = new Set([...charts].flatMap(([axis, { open }]) => (open.length > 0 ? [axis] : [])))
  return { advice: advise(fit, present.factors, unexplained, settings.adjustment), charts }
}

/** What other settings would have done to the same record. */
export async function settingsPreviewView(
  store: Store,
  partNumber: PartNumber,
  settings: ShrinkageSettings,
): Promise<SettingsPreviewView> {
  const record = await shrinkageOnRecord(store, partNumber)
  const tried = underSettings(record, settings)
  const { characteristics, builds } = record
  const written = await writtenOf(store, partNumber.id, 'sintered', characteristics, builds)
  const [before, after] = [record, tried].map((each) => replayViews(each, each.settings.adjustment))
  return {
    headline: adviceWords(adviceOn(tried, written).advice).headline,
    axes: AXES.filter((axis) => tried.fit.overall[axis] !== null).map((axis) => ({
      axis,
      words: settingsWords(axis, before?.[axis]?.advised ?? null, after?.[axis]?.advised ?? null),
    })),
    problems: problemsOf(tried),
  }
}

function settingsView({
  characteristics,
  partNumber,
  settings,
  settingsVersions,
}: ShrinkageOnRecord): ShrinkageSettingsView {
  const told = new Map(settings.told.map((each) => [each.characteristicId, each]))
  return {
    version: settingsVersions.at(-1)?.version ?? 0,
    adjustment: settings.adjustment,
    sizes: characteristics.flatMap((characteristic) => {
      const byDefault = termsOf(characteristic, partNumber.id)
      if (byDefault === null) return []
      const { along = null, sense = null, counts = true } = told.get(characteristic.id) ?? {}
      return [
        {
          designator: characteristic.designator,
          title: characteristicTitle(characteristic),
          along,
          sense,
          counts,
          byDefault: { along: characteristic.axis ?? 'XY', sense: byDefault.sense },
        },
      ]
    }),
    history: settingsVersions.map(({ version, reason, who, at }) => ({ version, reason, who, at })).reverse(),
  }
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

/** Builds inside a finding that explains a characteristic of the axis. */
function explainedBuilds(
  axis: Axis,
  terms: readonly SizeTerms[],
  builds: readonly TimelineBuild[],
  { findings }: Written,
): ReadonlySet<number> {
  const along = designatorsAlong(axis, terms)
  const ids = new Set<number>()
  for (const { state, places, characteristics } of findings) {
    if (places === null || !answersSignals(state) || !characteristics.some((each) => along.has(each)))
      continue
    for (const build of builds.slice(places.from, places.to + 1)) ids.add(build.id)
  }
  return ids
}

function designatorsAlong(axis: Axis, terms: readonly SizeTerms[]): ReadonlySet<string> {
  return new Set(
    terms.filter(({ weights }) => weights[axis] > 0.5).map(({ characteristic }) => characteristic.designator),
  )
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
  const chart = chartSeries(series, STUDY, builds)
  const place = new Map(builds.map((build, i) => [build.id, i]))
  const error = new Map(series.buildIds.map((id, i) => [id, series.standardErrors[i] as number]))
  return {
    chart,
    positions: chart.subgroups.map(({ buildId }) => place.get(buildId) as number),
    standardErrors: chart.subgroups.map(({ buildId }) => error.get(buildId) as number),
  }
}

/** By axis; null where the record is too short for any rule to have acted. */
export function replayViews(
  { fit, builds }: ShrinkageOnRecord,
  settings: AdjustmentSettings,
): PerAxis<ReplayView | null> {
  const histories = AXES.flatMap((axis, a) => {
    const history = fit.overall[axis] === null ? null : historyOf(fit, axis, a, builds)
    return history === null ? [] : [{ axis, history }]
  })
  const results = replay(
    histories.map(({ history }) => history),
    settings,
    DELAY,
  )
  return perAxis((axis) => {
    const at = histories.findIndex((each) => each.axis === axis)
    const [result, history] = [results[at], histories[at]?.history]
    if (result === undefined || history === undefined || result.from >= history.positions.length) return null
    return {
      positions: Array.from(history.positions),
      from: result.from,
      delay: DELAY,
      asPrinted: ruleView(result.asPrinted),
      advised: ruleView(result.advised),
      everyBuild: ruleView(result.everyBuild),
    }
  })
}

function historyOf(
  fit: ShrinkageFit,
  axis: Axis,
  a: number,
  builds: readonly TimelineBuild[],
): FactorHistory | null {
  const { series, noise } = neededFactors(fit, axis)
  const place = new Map(builds.map((build, i) => [build.id, i]))
  const played = series.buildIds.flatMap((id, i) => {
    const position = place.get(id) as number
    const printed = usableFactor(factorAt((builds[position] as TimelineBuild).scale, a))
    return printed === null
      ? []
      : [{ position, printed, needed: series.values[i] as number, noise: noise[i] as number }]
  })
  if (played.length === 0) return null
  return {
    positions: played.map(({ position }) => position),
    needed: played.map(({ needed }) => needed),
    noise: played.map((each) => each.noise),
    printed: played.map(({ printed }) => printed),
  }
}

function ruleView({ factors, deviations, meanSquare, changes }: ReplayedRule): ReplayedRuleView {
  return {
    factors: [...factors],
    deviations: Array.from(deviations, (deviation) => 100 * deviation),
    meanSquare: 1e4 * meanSquare,
    changes,
  }
}

function problemsOf({ fit, characteristics, builds }: ShrinkageOnRecord) {
  const names = {
    characteristic: (id: number) => {
      const found = characteristics.find((each) => each.id === id)
      return found === undefined ? 'A characteristic' : characteristicTitle(found)
    },
    build: (id: number) => builds.find((build) => build.id === id)?.name ?? 'not known',
  }
  return problemList(fit.problems, names)
}
