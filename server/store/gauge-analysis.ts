import { isMainThread } from 'node:worker_threads'
import { type GaugeStudySettings, gaugeStudy } from '../../src/gauges/gauge-study.ts'
import { type GaugeReading, studyTable } from '../../src/gauges/readings.ts'
import type { GaugeStudy } from '../../src/gauges/study-model.ts'
import { createThreadPool } from '../threads/thread-pool.ts'
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

export interface GaugeAnalysisOrder {
  readonly readings: readonly GaugeReading[]
  readonly settings: Partial<GaugeStudySettings>
}

const pool = createThreadPool<GaugeAnalysisOrder>({
  worker: new URL('./gauge-analysis-worker', import.meta.url),
  most: 1,
  errorOf: (_, text) => new Error(text),
})

const analysesOf = new WeakMap<Store, Map<string, Promise<GaugeStudy>>>()

/** Analyses kept of one store; readings on record never change. */
const MOST_KEPT = 500

/**
 * The analysis of a study of spread, by the tolerance of its characteristic. Where it takes seconds, the thread that
 * serves charts has it made on another; other threads make it themselves.
 */
export function analysed(
  store: Store,
  { record, on, readings }: GaugeStudyOnRecord,
  question: SpreadQuestion = AS_IT_SUITS,
): Promise<GaugeStudy> {
  const { lower = null, upper = null } = on?.characteristic ?? {}
  const key = `${record.id} ${lower} ${upper} ${question.method} ${question.interaction} ${question.layout}`
  const known = analysesOf.get(store) ?? new Map<string, Promise<GaugeStudy>>()
  analysesOf.set(store, known)
  const before = known.get(key)
  if (before !== undefined) return before
  const settings = { ...question, tolerance: { lower, upper }, confidence: CONFIDENCE }
  const study =
    isMainThread && takesSeconds(readings, question)
      ? (pool.run({ readings, settings }) as Promise<GaugeStudy>)
      : Promise.resolve(gaugeStudy(readings, settings))
  // What failed is tried again.
  study.catch(() => known.delete(key))
  if (known.size >= MOST_KEPT) known.delete(known.keys().next().value as string)
  known.set(key, study)
  return study
}

/** Pairs of part and inspector up to which a likelihood is soon found: on a busy machine 30 take 1.6 s, 100 take 6 s. */
const SOON = 20

/** Whether it is a likelihood of many pairs. */
function takesSeconds(readings: readonly GaugeReading[], { method, layout }: SpreadQuestion): boolean {
  const { cells, trials } = studyTable(readings)
  return cells.length > SOON && (trials === null || method !== 'suited' || layout === 'nested')
}
