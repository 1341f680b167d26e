/** open: being looked into. explained: the cause is known. done: what had to be done is done. */
export type FindingState = 'open' | 'explained' | 'done'

export const FINDING_STATES: readonly FindingState[] = ['open', 'explained', 'done']

/** Whether later builds show that the action worked. */
export type FindingVerified = 'not yet' | 'yes' | 'no'

export const FINDING_VERIFIED: readonly FindingVerified[] = ['not yet', 'yes', 'no']

/** Whether a finding in this state answers the signals at its builds. */
export function answersSignals(state: FindingState): boolean {
  return state !== 'open'
}
