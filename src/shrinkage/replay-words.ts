import type { Axis } from '../domain/characteristic.ts'
import { countOf, countWord, formatNumber } from '../words/format.ts'
import type { Sentence } from '../words/sentence.ts'
import type { ReplayedRule } from './replay.ts'

type Rule = Pick<ReplayedRule, 'meanSquare' | 'changes'>

/** Mean squares closer than this, as a ratio, count as alike. */
const ALIKE = 0.05

/**
 * What correcting on every build would have come to beside the advice, whichever came off better.
 *
 * @param builds how many the rules could differ in, and the name of the first of them
 */
export function replayWords(
  axis: Axis,
  builds: { readonly count: number; readonly first: string },
  advised: Rule,
  everyBuild: Rule,
): Sentence {
  const ratio = everyBuild.meanSquare / advised.meanSquare
  const span = `Over the ${countOf(builds.count, 'build')} from ${builds.first} on, correcting ${axis} on every build would have left `
  const changes = `${countOf(everyBuild.changes, 'change')} of factor in place of ${countWord(advised.changes)}`
  if (!(Math.abs(ratio - 1) > ALIKE))
    return [{ text: `${span}as large a mean square deviation as the advice, with ${changes}.` }]
  const size = { text: `${formatNumber(ratio, 1)} times`, role: 'strong' as const }
  const end =
    ratio > 1
      ? ` the mean square deviation of the advice, with ${changes}.`
      : ` the mean square deviation of the advice, but with ${changes}: the level itself moved here, and whoever follows every build follows that too.`
  return [{ text: span }, size, { text: end }]
}
