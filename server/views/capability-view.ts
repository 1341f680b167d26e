import { summariseCapability } from '../../src/capability/summarise.ts'
import type { CapabilitySummary } from '../../src/capability/summary.ts'
import { buildChart } from '../../src/charts/chart.ts'
import { includedCells } from '../../src/charts/exclusions.ts'
import type { ChartModel } from '../../src/charts/model.ts'
import type { Study } from '../../src/charts/study.ts'
import type { Stage } from '../../src/domain/cell.ts'
import { capabilityWords } from '../../src/words/capability-words.ts'
import type { CapabilityView, PartNumber, TimelineBuild } from '../contract/views.ts'
import { kept } from '../store/kept.ts'
import type { Store } from '../store/store.ts'
import { studiesOf } from '../store/studies-on-record.ts'
import { correctedIndices } from './corrected-indices.ts'
import { cellsByCharacteristic } from './drift-view.ts'

/** What is asked for on the capability page. */
export interface CapabilityQuestion {
  readonly stage: Stage
  /** The least Ppk. */
  readonly required: number
  /** As a fraction. */
  readonly confidence: number
  /** Only the last so many builds; undefined for all. */
  readonly last?: number | undefined
}

/** What each characteristic of a part number can hold, over a span of builds. */
export function capabilityView(
  store: Store,
  partNumber: PartNumber,
  question: CapabilityQuestion,
): Promise<CapabilityView> {
  const { stage, required, confidence, last } = question
  return kept(store, `capability ${partNumber.id} ${stage} ${required} ${confidence} ${last}`, () =>
    computeCapability(store, partNumber, question),
  )
}

async function computeCapability(
  store: Store,
  partNumber: PartNumber,
  question: CapabilityQuestion,
): Promise<CapabilityView> {
  const { stage, required, confidence, last } = question
  const builds = await store.builds(partNumber.id, stage)
  const from = last === undefined ? 0 : Math.max(0, builds.length - last)
  const { span, parts, rows } = await judgeSpan(store, partNumber, question, builds, from)
  const summaries = rows.map(({ summary }) => summary)
  const [first] = span
  const end = span[span.length - 1]
  const words = first && end ? { first: first.name, last: end.name, parts } : null
  return {
    partNumber,
    stage,
    builds: first && end ? { first: first.name, last: end.name, count: span.length } : null,
    parts,
    required,
    confidence,
    rows: summaries,
    corrected: await correctedIndices(store, summaries),
    ...capabilityWords(summaries, words, required, confidence),
  }
}

/** One characteristic judged over a span, with what it was judged by. */
export interface JudgedCharacteristic {
  readonly summary: CapabilitySummary
  readonly study: Study
  /** Over the whole timeline given: a span does not choose its own baseline. */
  readonly chart: ChartModel
}

/** What the characteristics of a part number can hold over a span of builds. */
export interface JudgedSpan {
  readonly span: readonly TimelineBuild[]
  /** Measured parts of the builds of the span. */
  readonly parts: number
  /** Those measured in the span. */
  readonly rows: readonly JudgedCharacteristic[]
}

/**
 * Judges every characteristic from one build of a timeline to its end.
 *
 * @param timeline builds of the stage from the first on record; what comes after it is not looked at
 * @param from place of the first build of the span
 */
export async function judgeSpan(
  store: Store,
  partNumber: PartNumber,
  { stage, required, confidence }: Omit<CapabilityQuestion, 'last'>,
  timeline: readonly TimelineBuild[],
  from: number,
): Promise<JudgedSpan> {
  const [characteristics, cells, parts, studies] = await Promise.all([
    store.characteristics(partNumber.id),
    store.cells(partNumber.id, stage),
    store.partsByBuild(partNumber.id, stage),
    studiesOf(store, partNumber.id, stage, timeline),
  ])
  const grouped = cellsByCharacteristic(cells)
  const span = timeline.slice(from)
  const rows: JudgedCharacteristic[] = []
  for (const characteristic of characteristics) {
    const own = grouped.get(characteristic.id) ?? []
    const { study } = studies.of(characteristic.id)
    const chart = buildChart(study, own, timeline)
    const counted = includedCells(own, study.exclusions)
    const requirement = { index: required, confidence, study }
    const summary = summariseCapability(characteristic, counted, span, chart, requirement)
    if (summary !== null) rows.push({ summary, study, chart })
  }
  return {
    span,
    parts: span.reduce((sum, build) => sum + (parts.get(build.id) ?? 0), 0),
    rows,
  }
}
