import { effectiveSampleOfColumns } from '../capability/effective.ts'
import { performance } from '../capability/performance.ts'
import { bindingLimits } from '../capability/quantile-method.ts'
import { type ChartColumns, chartColumns } from '../charts/chart.ts'
import type { Signal } from '../charts/model.ts'
import { deviation } from '../charts/panel-columns.ts'
import { type BuildLabel, type Places, placesOf } from '../charts/places.ts'
import type { Study } from '../charts/study.ts'
import { includedMoments, type SubgroupColumns, subgroupColumns } from '../charts/subgroup-columns.ts'
import type { CellColumns } from '../domain/cell-columns.ts'
import type { Characteristic } from '../domain/characteristic.ts'
import { signalWords } from '../words/signal.ts'
import { type Answer, answerTo } from './answers.ts'
import type { Overview, OverviewRow } from './overview.ts'
import { signalUrgency } from './strength.ts'

/** Confidence of the intervals shown beside indices, as a fraction. */
const CONFIDENCE = 0.95

/** What is charted: a characteristic with its study and its cells. */
export interface Charted {
  readonly characteristic: Characteristic
  readonly study: Study
  readonly cells: CellColumns
  /** Findings that answer its signals; none where nothing is said. */
  readonly answers?: readonly Answer[]
}

/**
 * All characteristics of a part number on one timeline of builds.
 *
 * @param charted in the order of the drawing; those without cells give no row
 * @param builds the timeline
 */
export function buildOverview(charted: readonly Charted[], builds: readonly BuildLabel[]): Overview {
  const places = placesOf(builds)
  return { rows: charted.filter(hasRow).map((item) => judge(item, builds, places)) }
}

/** The means that are charted, by place on the timeline; null where a build has none. */
export interface ChartedMeans {
  readonly characteristic: Characteristic
  readonly means: readonly (number | null)[]
}

/** Of the characteristics that have a row in the overview, in its order. */
export function chartedMeans(charted: readonly Charted[], builds: readonly BuildLabel[]): ChartedMeans[] {
  const places = placesOf(builds)
  return charted.filter(hasRow).map(({ characteristic, study, cells }) => {
    const { subgroups, location } = chartColumns(
      study,
      subgroupColumns(cells, places, study.exclusions),
      places,
    )
    const means = new Array<number | null>(builds.length).fill(null)
    for (const [i, mean] of location.values.entries()) {
      if (!Number.isNaN(mean)) means[subgroups.place[i] as number] = mean
    }
    return { characteristic, means }
  })
}

function hasRow({ cells, study }: Charted): boolean {
  return cells.length > 0 || study.exclusions.length > 0
}

function judge(
  { characteristic, study, cells, answers = [] }: Charted,
  builds: readonly BuildLabel[],
  places: Places,
): OverviewRow {
  const subgroups = subgroupColumns(cells, places, study.exclusions)
  const chart = chartColumns(study, subgroups, places)
  const deviations = new Array<number | null>(builds.length).fill(null)
  const leftOut: number[] = []
  for (let i = 0; i < subgroups.length; i++) {
    const at = subgroups.place[i] as number
    deviations[at] = deviation(chart.location, i)
    if (subgroups.leftOut[i] === 1 || subgroups.leftOutValues.has(at)) leftOut.push(at)
  }
  const placeOf = (i: number) => subgroups.place[i] as number
  const nameOf = (i: number) => builds[placeOf(i)]?.name
  const onTimeline = (points: readonly number[]) => points.map(placeOf)
  const answerOf = (signal: Signal) => answerTo(onTimeline(signal.points), answers)
  const answered = chart.signals.map(answerOf)
  const open = worstSignal(chart, (i) => answered[i] === null)
  const worst = open.worst ?? worstSignal(chart, (i) => answered[i] !== null).worst
  return {
    characteristic,
    form: chart.form,
    provisional: chart.phases.some((phase) => phase.provisional),
    deviations,
    signals: chart.signals.map((signal) => ({ ...signal, points: onTimeline(signal.points) })),
    answers: answered,
    leftOut,
    worst: worst && {
      signal: { ...worst, points: onTimeline(worst.points) },
      words: signalWords(worst),
      build: nameOf(worst.points[0] as number) ?? '',
      answer: answerOf(worst),
    },
    urgency: open.urgency,
    ...held(characteristic, subgroups),
  }
}

/** The most urgent of the chosen signals. */
function worstSignal(chart: ChartColumns, chosen: (i: number) => boolean) {
  let worst: Signal | null = null
  let urgency = 0
  for (const [i, signal] of chart.signals.entries()) {
    if (!chosen(i)) continue
    const u = signalUrgency(chart, signal)
    if (u > urgency) {
      worst = signal
      urgency = u
    }
  }
  return { worst, urgency }
}

function held(characteristic: Characteristic, subgroups: SubgroupColumns) {
  const { lower, upper } = characteristic
  const sample = effectiveSampleOfColumns(includedMoments(subgroups))
  if (sample === null) return { ppk: null, spread: null }
  const ppk = performance(bindingLimits(characteristic, characteristic.kind), sample, CONFIDENCE).nearer
  if (lower === null || upper === null || lower === upper) return { ppk, spread: null }
  const inZone = (x: number) => (x - lower) / (upper - lower)
  return {
    ppk,
    spread: {
      from: inZone(sample.mean - 3 * sample.sigma),
      mean: inZone(sample.mean),
      to: inZone(sample.mean + 3 * sample.sigma),
    },
  }
}
