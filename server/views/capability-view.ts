import { summariseCapability } from '../../src/capability/summarise.ts'
import type { CapabilitySummary } from '../../src/capability/summary.ts'
import { buildChart } from '../../src/charts/chart.ts'
import { includedCells } from '../../src/charts/exclusions.ts'
import type { Stage } from '../../src/domain/cell.ts'
import { capabilityWords } from '../../src/words/capability-words.ts'
import type { CapabilityView, PartNumber } from '../contract/views.ts'
import { kept } from '../store/kept.ts'
import type { Store } from '../store/store.ts'
import { cellsByCharacteristic } from './drift-view.ts'
import { studiesOf } from './studies.ts'

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
  const [characteristics, builds, cells, parts] = await Promise.all([
    store.characteristics(partNumber.id),
    store.builds(partNumber.id, stage),
    store.cells(partNumber.id, stage),
    store.partsByBuild(partNumber.id, stage),
  ])
  const grouped = cellsByCharacteristic(cells)
  const studies = await studiesOf(store, partNumber.id, stage, builds)
  const span = last === undefined ? builds : builds.slice(-last)
  const rows: CapabilitySummary[] = []
  for (const characteristic of characteristics) {
    const own = grouped.get(characteristic.id) ?? []
    // The chart runs over the whole record: a span does not choose its own baseline.
    const { study } = studies.of(characteristic.id)
    const chart = buildChart(study, own, builds)
    const counted = includedCells(own, study.exclusions)
    const requirement = { index: required, confidence, study }
    const row = summariseCapability(characteristic, counted, span, chart, requirement)
    if (row !== null) rows.push(row)
  }
  const [first] = span
  const end = span[span.length - 1]
  const partCount = span.reduce((sum, build) => sum + (parts.get(build.id) ?? 0), 0)
  const words = first && end ? { first: first.name, last: end.name, parts: partCount } : null
  return {
    partNumber,
    stage,
    builds: first && end ? { first: first.name, last: end.name, count: span.length } : null,
    parts: partCount,
    required,
    confidence,
    rows,
    ...capabilityWords(rows, words, required, confidence),
  }
}
