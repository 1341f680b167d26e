import { stageIn } from './drift-state.ts'

/** Stage and span of builds of a page that looks at the last so many builds. */
export interface SpanState {
  readonly stage: 'green' | 'sintered' | 'finished'
  /** Null for all. */
  readonly last: number | null
}

export function spanState(query: Readonly<Record<string, string>>): SpanState {
  const count = Number(query.last)
  return { stage: stageIn(query), last: Number.isInteger(count) && count >= 2 ? count : null }
}
