import type { Axis } from '../domain/characteristic.ts'
import { countOf, countWord, formatNumber } from '../words/format.ts'
import type { Sentence } from '../words/sentence.ts'
import type { ReplayedRule } from './replay.ts'

type Rule = Pick<ReplayedRule, 'meanSquare' | 'changes'>

/** Mean squares that differ by less than this, as a ratio, count as alike. */
const ALIKE = 0.01

/**
 * What the advice would have left of an axis over the record under other settings, beside those in force.
 *
 * @param present, tried null where the record is too short for any change
 */
export function settingsWords(axis: Axis, present: Rule | null, tried: Rule | null): Sentence {
  if (tried === null)
    return [{ text: `${axis}: the record is too short for these settings to have changed anything.` }]
  const changes = `${countOf(tried.changes, 'change')} of factor`
  if (present === null) return [{ text: `${axis}: ${changes}.` }]
  const ratio = tried.meanSquare / present.meanSquare
  const size =
    Math.abs(ratio - 1) <= ALIKE
      ? 'the same mean square deviation as'
      : `${formatNumber(ratio, 2)} times the mean square deviation of`
  return [
    { text: `${axis}: ` },
    { text: size, role: 'strong' },
    { text: ` the settings in force, with ${changes} in place of ${countWord(present.changes)}.` },
  ]
}
