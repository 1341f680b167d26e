import type { Characteristic } from '../../src/domain/characteristic.ts'
import { capabilityDetailWords } from '../../src/words/capability-detail-words.ts'
import type {
  CapabilityDetailView,
  GaugeDetail,
  IndexCourseView,
  NamedCharacteristic,
} from '../contract/capability-detail.ts'
import type { PartNumber } from '../contract/views.ts'
import { gaugeResults } from '../store/gauge-results.ts'
import { kept } from '../store/kept.ts'
import type { Store } from '../store/store.ts'
import { type CapabilityQuestion, openLast } from './capability-span.ts'
import { correctedRows } from './corrected-rows.ts'
import type { ShapedValues, ValuesReaders } from './values-detail.ts'

/** What one characteristic can hold over a span of builds, and everything that this rests on. */
export function capabilityDetailView(
  store: Store,
  partNumber: PartNumber,
  characteristic: Characteristic,
  question: CapabilityQuestion,
  readers: ValuesReaders,
): Promise<CapabilityDetailView> {
  return kept(store, `capability detail ${keyOf(characteristic, question)}`, async () =>
    computeDetail(store, partNumber, characteristic, question, await readers.shapedValues()),
  )
}

/** The index of one characteristic over a running window of the builds of its detail. */
export function indexCourseView(
  store: Store,
  partNumber: PartNumber,
  characteristic: Characteristic,
  question: CapabilityQuestion,
  readers: ValuesReaders,
): Promise<IndexCourseView> {
  return kept(store, `index course ${keyOf(characteristic, question)}`, async () => {
    const { measured } = await capabilityDetailView(store, partNumber, characteristic, question, readers)
    if (measured === null) return { course: null, buildNames: [] }
    const { summary, buildNames } = measured
    return { course: await readers.courseOf(summary.shape), buildNames }
  })
}

function keyOf({ id }: Characteristic, { stage, required, confidence, last }: CapabilityQuestion): string {
  return `${id} ${stage} ${last} ${required} ${confidence}`
}

async function computeDetail(
  store: Store,
  partNumber: PartNumber,
  characteristic: Characteristic,
  question: CapabilityQuestion,
  values: ShapedValues | null,
): Promise<CapabilityDetailView> {
  const opened = await openLast(store, partNumber, question, characteristic.id)
  const { span, measured } = opened
  const [row] = opened.rows
  const at = measured.findIndex(({ id }) => id === characteristic.id)
  const summary = row === undefined || values === null ? null : row.judge(values.shape)
  const holding = new Set(row?.basis(null).groups.map(({ buildId }) => buildId))
  const [first, end] = [span[0], span[span.length - 1]]
  const builds = first && end ? { first: first.name, last: end.name, count: span.length } : null
  return {
    partNumber,
    characteristic,
    stage: question.stage,
    builds,
    isAsked: (question.required ?? null) !== null,
    place: at === -1 ? null : at + 1,
    of: measured.length,
    before: at === -1 ? null : named(measured[at - 1]),
    after: at === -1 ? null : named(measured[at + 1]),
    ...capabilityDetailWords(characteristic, summary, builds),
    measured:
      summary === null || values === null
        ? null
        : {
            ...values.detail,
            summary,
            buildNames: span.filter(({ id }) => holding.has(id)).map(({ name }) => name),
            gauge: await gaugeDetail(store, characteristic),
            corrected: (await correctedRows(store, [summary]))[0] ?? null,
          },
  }
}

function named(characteristic: Characteristic | undefined): NamedCharacteristic | null {
  return characteristic === undefined
    ? null
    : { designator: characteristic.designator, name: characteristic.name }
}

async function gaugeDetail(store: Store, { id }: Characteristic): Promise<GaugeDetail | null> {
  const result = (await gaugeResults(store)).of(id)
  if (result === null) return null
  const { gauge, studyId, judgement } = result
  return { gauge, studyId, judgement }
}
