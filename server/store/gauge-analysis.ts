import { gaugeStudy } from '../../src/gauges/gauge-study.ts'
import type { GaugeStudy } from '../../src/gauges/study-model.ts'
import type { GaugeStudyOnRecord } from './gauges-on-record.ts'
import type { Store } from './store.ts'

/** How a study of spread is to be analysed. */
export interface SpreadQuestion {
  readonly method: 'suited' | 'restricted maximum likelihood'
  readonly interaction: 'tested' | 'kept' | 'pooled'
  /** nested where parts of one name under two inspectors are different parts. */
  readonly layout: 'crossed' | 'nested'
}

export const AS_IT_SUITS: SpreadQuestion = { method: 'suited', interaction: 'tested', layout: 'crossed' }

/** Of every interval on the pages about gauges. */
export const CONFIDENCE = 0.95

const analysesOf = new WeakMap<Store, Map<string, GaugeStudy>>()

/** Analyses kept of one store; a likelihood takes up to a second, and readings on record never change. */
const MOST_KEPT = 500

/** The analysis of a study of spread, by the tolerance of its characteristic. */
export function analysed(
  store: Store,
  { record, on, readings }: GaugeStudyOnRecord,
  question: SpreadQuestion = AS_IT_SUITS,
): GaugeStudy {
  const { lower = null, upper = null } = on?.characteristic ?? {}
  const key = `${record.id} ${lower} ${upper} ${question.method} ${question.interaction} ${question.layout}`
  const known = analysesOf.get(store) ?? new Map<string, GaugeStudy>()
  analysesOf.set(store, known)
  const before = known.get(key)
  if (before !== undefined) return before
  const study = gaugeStudy(readings, { ...question, tolerance: { lower, upper }, confidence: CONFIDENCE })
  if (known.size >= MOST_KEPT) known.delete(known.keys().next().value as string)
  known.set(key, study)
  return study
}
