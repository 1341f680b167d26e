import { limitFromText } from '../../src/capability/supposed-limit.ts'
import { type CapabilityAsked, characteristicAddress, type PartNumberKey } from './addresses.ts'

/**
 * What the address supposes of a characteristic. Limits are texts as they were written: what is no number is shown and
 * said.
 */
export interface WhatIfState {
  readonly centred: boolean
  readonly alike: boolean
  /** Null for the limit there is, empty for none. */
  readonly lower: string | null
  readonly upper: string | null
}

export function whatIfState(query: Readonly<Record<string, string>>): WhatIfState {
  return {
    centred: query.centred === 'yes',
    alike: query.alike === 'yes',
    lower: query.lower ?? null,
    upper: query.upper ?? null,
  }
}

/** Whether anything is supposed, and can be asked for. */
export function isAskable({ centred, alike, lower, upper }: WhatIfState): boolean {
  if (!centred && !alike && lower === null && upper === null) return false
  return [lower, upper].every((text) => text === null || limitFromText(text) !== undefined)
}

export function whatIfAddress(
  key: PartNumberKey,
  designator: string,
  asked: CapabilityAsked,
  { centred, alike, lower, upper }: WhatIfState,
): string {
  const query = new URLSearchParams()
  if (centred) query.set('centred', 'true')
  if (alike) query.set('alike', 'true')
  if (lower !== null) query.set('lower', lower)
  if (upper !== null) query.set('upper', upper)
  return `${characteristicAddress(key, designator, 'what-if', asked)}&${query}`
}
