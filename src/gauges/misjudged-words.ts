import { formatNumber } from '../words/format.ts'
import type { Misjudged } from './misjudged.ts'

/** What a gauge misjudges of the parts made so far, in one sentence. */
export function misjudgedWords({ wronglyAccepted, wronglyRejected }: Misjudged): string {
  return `Of parts like those measured so far, sintered, ${inMillion(wronglyAccepted)} would be accepted though truly outside the limits, and ${inMillion(wronglyRejected)} rejected though truly inside, if they scatter normally.`
}

function inMillion(share: number): string {
  const parts = share * 1e6
  if (parts < 0.5) return 'fewer than one in a million'
  return parts < 10_000
    ? `${formatNumber(parts, 0)} in a million`
    : `${formatNumber(100 * share, 1)} in a hundred`
}
