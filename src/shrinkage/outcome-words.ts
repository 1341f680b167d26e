import {
  capitalise,
  characteristicTitle,
  countOf,
  formatNumber,
  formatSigned,
  meanDecimals,
} from '../words/format.ts'
import type { Sentence } from '../words/sentence.ts'
import type { Outcome } from './outcome.ts'

/** Whether a prediction held, in a sentence. Lengths in each characteristic's own unit. */
export function outcomeWords(outcomes: readonly Outcome[]): Sentence {
  if (outcomes.length === 0) return [{ text: 'No build with these factors is measured yet.' }]
  const missed = outcomes.filter((outcome) => !outcome.held)
  const builds = Math.max(...outcomes.map((outcome) => outcome.builds))
  const after = `after ${countOf(builds, 'build')}`
  if (missed.length === 0) {
    return [
      {
        text: `${capitalise(after)} the prediction holds: ${outcomes.length === 1 ? 'the one characteristic lies' : `all ${outcomes.length} characteristics lie`} within what was allowed.`,
      },
    ]
  }
  const worst = missed.reduce((a, b) => (excess(b) > excess(a) ? b : a))
  const { characteristic, difference, allowed } = worst
  const decimals = meanDecimals(characteristic)
  return [
    { text: `${capitalise(after)} ` },
    { text: `${missed.length} of ${outcomes.length} characteristics`, role: 'mark' },
    {
      text: ` ${missed.length === 1 ? 'lies' : 'lie'} further off than was allowed, ${characteristicTitle(characteristic)} by the most (${formatSigned(difference, decimals)} from the prediction, ± ${formatNumber(allowed.upper, decimals)} allowed).`,
    },
  ]
}

function excess({ difference, allowed }: Outcome): number {
  return Math.abs(difference) / allowed.upper
}
