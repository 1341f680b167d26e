import { independentValues } from '../../src/capability/design-effect.ts'
import type { CapabilitySummary } from '../../src/capability/summary.ts'
import { binnedValues, binWidth } from '../../src/description/binned-values.ts'
import { momentsOf } from '../../src/description/moments.ts'
import type { Cell, Stage } from '../../src/domain/cell.ts'
import { buildConditions } from '../../src/events/build-conditions.ts'
import { detectEvents } from '../../src/events/detect-events.ts'
import type { ProcessEvent } from '../../src/events/event.ts'
import { standingChange } from '../../src/events/standing-change.ts'
import { answerTo } from '../../src/overview/answers.ts'
import { capabilityWords } from '../../src/words/capability-words.ts'
import { chartGrounds, chartHeadline } from '../../src/words/chart-words.ts'
import { cautionWords, methodWords } from '../../src/words/report-words.ts'
import { plain } from '../../src/words/sentence.ts'
import { signalWords } from '../../src/words/signal.ts'
import type {
  ReportBuild,
  ReportCharacteristic,
  ReportContent,
  ReportSettings,
  ReportSignal,
} from '../contract/report.ts'
import type { PartNumber, TimelineBuild } from '../contract/views.ts'
import { gaugeResults } from '../store/gauge-results.ts'
import type { ValuesByBuild } from '../store/single-values.ts'
import type { Store } from '../store/store.ts'
import { studiesOf } from '../store/studies-on-record.ts'
import { type MeasuredCharacteristic, openSpan } from '../views/capability-span.ts'
import { type Written, writtenOf } from '../views/findings.ts'
import { shapeOfValues } from '../views/judged-shapes.ts'
import { exclusionViews } from '../views/studies.ts'
import { packChart } from './packed-chart.ts'
import { reportGauge } from './report-gauge.ts'
import { shapingEntries } from './report-record.ts'

/** The span that is asked for, by the last builds or by names. */
export interface SpanWanted {
  readonly last?: number | undefined
  readonly from?: string | undefined
  readonly to?: string | undefined
}

/** A build that a span names and that has no parts at the stage. */
export class UnknownBuildError extends Error {
  override readonly name = 'UnknownBuildError'
  readonly build: string

  constructor(build: string) {
    super(`There is no build ${build} among those measured.`)
    this.build = build
  }
}

/**
 * The names of the first and last build of a span; null where nothing is measured.
 *
 * @throws UnknownBuildError
 */
export function spanNames(
  builds: readonly TimelineBuild[],
  { last, from, to }: SpanWanted,
): Pick<ReportSettings, 'from' | 'to'> {
  const end = to === undefined ? builds.length - 1 : placeOf(builds, to)
  const wanted = from === undefined ? (last === undefined ? 0 : end - last + 1) : placeOf(builds, from)
  const [first, final] = [builds[Math.max(0, wanted)], builds[end]]
  return { from: first?.name ?? null, to: final?.name ?? null }
}

function placeOf(builds: readonly TimelineBuild[], name: string): number {
  const place = builds.findIndex((build) => build.name === name)
  if (place === -1) throw new UnknownBuildError(name)
  return place
}

/**
 * Everything that a report states about a part number, from the same computations as the pages. Nothing of the span can
 * be kept out of it: what is left out of the figures and which signals are open are always part of it.
 *
 * What came after the last build of the span is not looked at, so that a report stays as it is while builds are added.
 *
 * @param onProgress told how many characteristics are done, of how many
 * @throws UnknownBuildError where the span begins or ends at a build that is not there
 */
export async function reportContent(
  store: Store,
  partNumber: PartNumber,
  settings: ReportSettings,
  onProgress: (done: number, all: number) => void = () => undefined,
): Promise<ReportContent> {
  const { stage } = settings
  const [builds, characteristics, cells, partsByBuild] = await Promise.all([
    store.builds(partNumber.id, stage),
    store.characteristics(partNumber.id),
    store.cells(partNumber.id, stage),
    store.partsByBuild(partNumber.id, stage),
  ])
  const from = settings.from === null ? 0 : placeOf(builds, settings.from)
  const to = settings.to === null ? builds.length - 1 : placeOf(builds, settings.to)
  const timeline = builds.slice(0, to + 1)
  const { span, parts, rows, fallback } = await openSpan(store, partNumber, settings, timeline, from)
  const spanIds = new Set(span.map((build) => build.id))
  const [studies, written, loads, sources, gauges] = await Promise.all([
    studiesOf(store, partNumber.id, stage, timeline),
    writtenOf(store, partNumber.id, stage, characteristics, timeline),
    store.loadsOf(partNumber.id, stage),
    store.sourceImports(partNumber.id, stage, span.length === builds.length ? null : spanIds),
    gaugeResults(store),
  ])

  const events = eventsOf(rows, timeline, loads, cells)
  const { record, byCharacteristic, byImport } = await shapingEntries(store, partNumber.id, stage, sources)
  const reported: ReportCharacteristic[] = []
  const summaries: CapabilitySummary[] = []
  for (const row of rows) {
    const { characteristic, counting, requirement } = row
    const values = await store.valuesByBuild(characteristic.id, stage, counting)
    const summary = row.judge(shapeOfValues(characteristic, values, requirement.confidence))
    const gauge =
      gauges.of(characteristic.id) === null
        ? null
        : reportGauge(
            gauges,
            summary,
            values,
            await store.gaugesOfValues(characteristic.id, stage, counting),
            stage,
            summary.ownTolerance === null
              ? new Map()
              : await store.ownLimitsByPart(characteristic.id, stage, counting),
          )
    summaries.push(summary)
    reported.push({
      ...reportCharacteristic(row, summary, values, timeline, from, written, events),
      record: byCharacteristic.get(characteristic.id) ?? [],
      ...(gauge === null ? {} : { gauge }),
    })
    onProgress(reported.length, rows.length)
  }

  const [first, last] = [span[0], span[span.length - 1]]
  const words = first && last ? { first: first.name, last: last.name, parts } : null
  const { headline, grounds } = capabilityWords(summaries, words)
  const measured = new Set(summaries.map(({ characteristic }) => characteristic.id))
  return {
    settings,
    partNumber: { number: partNumber.number, revision: partNumber.revision, name: partNumber.name },
    span:
      words === null
        ? null
        : {
            ...words,
            builds: span.length,
            values: summaries.reduce((sum, { n }) => sum + n, 0),
          },
    fallback,
    headline: plain(headline),
    grounds: plain(grounds),
    characteristics: reported,
    notMeasured: characteristics.filter(({ id }) => !measured.has(id)),
    exclusions: exclusionViews(studies.exclusions, characteristics, timeline),
    findings: written.findings.filter(({ places }) => places !== null && places.to >= from),
    sources: {
      timeline: timeline.map((build) => build.name),
      firstPlace: from,
      builds: reportBuilds(span, cells, partsByBuild, new Map(loads.map((load) => [load.id, load]))),
      imports: sources.map((source) => ({ entry: byImport.get(source.importId) ?? null, ...source })),
    },
    record,
    methods: methodWords(
      rows.map(({ study }) => study),
      fallback.confidence,
      summaries.map(({ characteristic }) => characteristic),
    ),
    cautions: cautionWords(
      reported.map(({ characteristic, summary, chart }) => ({
        characteristic,
        stable: summary.stable,
        provisional: chart.phases.some((phase) => phase.provisional),
        n: summary.n,
        chosen: summary.shape?.fitted.family ?? null,
      })),
    ),
  }
}

/** What happened to them up to the end of the span, as the page Drift tells it of the whole record. */
function eventsOf(
  rows: readonly MeasuredCharacteristic[],
  timeline: readonly TimelineBuild[],
  loads: Awaited<ReturnType<Store['loadsOf']>>,
  cells: readonly Cell[],
): readonly ProcessEvent[] {
  const gauges = new Map(timeline.map((build) => [build.id, build.gauges]))
  return detectEvents({ charted: rows, builds: buildConditions(timeline, loads, cells, gauges) }).events
}

function reportCharacteristic(
  { chart, basis }: MeasuredCharacteristic,
  summary: CapabilitySummary,
  values: ValuesByBuild,
  timeline: readonly TimelineBuild[],
  from: number,
  written: Written,
  events: readonly ProcessEvent[],
): Omit<ReportCharacteristic, 'record'> {
  // What Cp and Cpk take follows from them.
  const { characteristic, sigmaInControl: _, ...rest } = summary
  const place = new Map(timeline.map((build, i) => [build.id, i]))
  const positions = chart.subgroups.map((subgroup) => place.get(subgroup.buildId) as number)
  const own = written.answers(characteristic.designator)
  const answers = chart.signals.map(({ points }) =>
    answerTo(
      points.map((i) => positions[i] as number),
      own,
    ),
  )
  const change = standingChange(events, (member) => member.characteristic.id === characteristic.id)
  const names = timeline.map(({ name }) => name)
  const signals = chart.signals.flatMap((signal, i): ReportSignal[] => {
    const [first, last] = [signal.points[0] as number, signal.points[signal.points.length - 1] as number]
    if ((positions[last] as number) < from) return []
    return [
      {
        words: signalWords(signal),
        from: chart.subgroups[first]?.label ?? '',
        to: chart.subgroups[last]?.label ?? '',
        finding: answers[i] ?? null,
      },
    ]
  })
  const width = values.value.length === 0 ? null : binWidth(momentsOf(values.value))
  return {
    characteristic,
    summary: rest,
    chart: packChart(chart),
    positions,
    chartHeadline: plain(chartHeadline(characteristic, chart, change, names)),
    chartGrounds: plain(chartGrounds(characteristic, chart, answers)).trim(),
    signals,
    values: width === null ? null : binnedValues(values.value, width),
    nEffective: independentValues(basis(null).groups.map(({ moments }) => moments)),
    outside: countOutside(values.value, characteristic),
  }
}

function countOutside(
  values: Float64Array,
  { lower, upper }: { readonly lower: number | null; readonly upper: number | null },
): ReportCharacteristic['outside'] {
  let [below, above] = [0, 0]
  for (const value of values) {
    if (lower !== null && value < lower) below++
    if (upper !== null && value > upper) above++
  }
  return { below, above }
}

function reportBuilds(
  span: readonly TimelineBuild[],
  cells: readonly Cell[],
  parts: ReadonlyMap<number, number>,
  loads: ReadonlyMap<number, Awaited<ReturnType<Store['loadsOf']>>[number]>,
): ReportBuild[] {
  const loadsOf = new Map<number, Set<number>>()
  for (const { buildId, furnaceLoadId } of cells) {
    if (furnaceLoadId === null) continue
    const known = loadsOf.get(buildId)
    if (known === undefined) loadsOf.set(buildId, new Set([furnaceLoadId]))
    else known.add(furnaceLoadId)
  }
  return span.map((build) => ({
    name: build.name,
    printedAt: build.printedAt,
    printer: build.printer,
    powderLot: build.powderLot,
    powderReuse: build.powderReuse,
    parts: parts.get(build.id) ?? 0,
    furnaceLoads: [...(loadsOf.get(build.id) ?? [])]
      .sort((a, b) => a - b)
      .flatMap((id) => {
        const load = loads.get(id)
        if (load === undefined) return []
        const { name, furnace, profile, sinteredAt } = load
        return [{ name, furnace, profile, sinteredAt }]
      }),
    gauges: build.gauges,
  }))
}

/** The title that a report has where none was given. */
export function defaultTitle({ number, revision }: PartNumber, stage: Stage): string {
  return `What the process holds: ${number} revision ${revision}, ${stage}`
}
