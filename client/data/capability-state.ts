import { stageIn } from './drift-state.ts'

/** What the address of the capability page asks for, with defaults where it says nothing that can be used. */
export interface CapabilityState {
  readonly stage: 'green' | 'sintered' | 'finished'
  /** The least Ppk asked of all; null for what the customer asks of each. */
  readonly required: number | null
  /** As a fraction, likewise. */
  readonly confidence: number | null
  /** Only the last so many builds; null for all. */
  readonly last: number | null
}

export function capabilityState(query: Readonly<Record<string, string>>): CapabilityState {
  const last = within(query.last, 1, 100_000)
  return {
    stage: stageIn(query),
    required: within(query.required, 0.1, 10),
    confidence: within(query.confidence, 0.5, 0.999),
    last: Number.isInteger(last) ? last : null,
  }
}

/** The part of a query that all pages on capability share, with its question mark; empty where there is none of it. */
export function sameSpan(query: Readonly<Record<string, string>>): string {
  const shared = new URLSearchParams()
  for (const key of ['stage', 'required', 'confidence', 'last']) {
    const value = query[key]
    if (value !== undefined) shared.set(key, value)
  }
  const text = shared.toString()
  return text === '' ? '' : `?${text}`
}

function within(text: string | undefined, least: number, most: number): number | null {
  const value = text === undefined || text.trim() === '' ? Number.NaN : Number(text)
  return value >= least && value <= most ? value : null
}
