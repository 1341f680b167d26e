import type { FindingView } from '../../server/contract/decisions.ts'
import type { FindingState, FindingVerified } from '../../src/domain/finding.ts'

export const STATE_WORDS: Readonly<Record<FindingState, string>> = {
  open: 'open: being looked into',
  explained: 'explained: the cause is known',
  done: 'done: the action is taken',
}

export const VERIFIED_WORDS: Readonly<Record<FindingVerified, string>> = {
  'not yet': 'not yet',
  yes: 'yes, it worked',
  no: 'no, it did not work',
}

/** A finding in short, for a lane or a mark: "3: powder lot K8 shrinks more". */
export function findingMark({ number, cause }: FindingView): string {
  return `${number}: ${cause}`
}

/** The builds of a finding: "build 0449", "builds 0441 to 0459". */
export function findingSpan({ from, to }: FindingView): string {
  return from === to ? `build ${from}` : `builds ${from} to ${to}`
}
