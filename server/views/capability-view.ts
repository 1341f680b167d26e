import { capabilityWords } from '../../src/words/capability-words.ts'
import type { CapabilityView, PartNumber } from '../contract/views.ts'
import { kept } from '../store/kept.ts'
import type { Store } from '../store/store.ts'
import { type CapabilityQuestion, openLast } from './capability-span.ts'
import { correctedRows } from './corrected-rows.ts'
import { judgedShapes, type Shapes } from './judged-shapes.ts'

/**
 * What each characteristic of a part number can hold, over a span of builds.
 *
 * @param findShapes how the distributions are found: on another thread where this one must not wait
 */
export function capabilityView(
  store: Store,
  partNumber: PartNumber,
  question: CapabilityQuestion,
  findShapes: () => Promise<Shapes> = () => judgedShapes(store, partNumber, question),
): Promise<CapabilityView> {
  const { stage, required, confidence, last } = question
  const key = `${partNumber.id} ${stage} ${last} ${required} ${confidence}`
  return kept(store, `capability ${key}`, async () =>
    computeCapability(store, partNumber, question, await findShapes()),
  )
}

async function computeCapability(
  store: Store,
  partNumber: PartNumber,
  question: CapabilityQuestion,
  shapes: Shapes,
): Promise<CapabilityView> {
  const { span, parts, rows, fallback } = await openLast(store, partNumber, question)
  const summaries = rows.map(({ characteristic, judge }) => judge(shapes.get(characteristic.id) ?? null))
  const [first] = span
  const end = span[span.length - 1]
  const words = first && end ? { first: first.name, last: end.name, parts } : null
  return {
    partNumber,
    stage: question.stage,
    builds: first && end ? { first: first.name, last: end.name, count: span.length } : null,
    parts,
    fallback,
    isAsked: (question.required ?? null) !== null,
    rows: summaries,
    corrected: await correctedRows(store, summaries),
    ...capabilityWords(summaries, words),
  }
}
