import type { ConformityDecision } from '../gauges/conformity.ts'
import { characteristicTitle, countWord } from './format.ts'
import type { Phrase, Sentence } from './sentence.ts'

/** What is known of one characteristic of a part: the decision on the value that tells against it most. */
export interface JudgedCharacteristic {
  readonly designator: string
  readonly name: string
  readonly decision: ConformityDecision
}

const AGAINST: readonly ConformityDecision[] = ['conforming', 'inside the uncertainty', 'not conforming']

/** Of several decisions on one characteristic of a part, the one that tells against it most. */
export function strictest(a: ConformityDecision, b: ConformityDecision): ConformityDecision {
  return AGAINST.indexOf(a) >= AGAINST.indexOf(b) ? a : b
}

/**
 * Whether a part is proved to conform, in one sentence.
 *
 * @param judged characteristics of the part that the drawing limits and that were measured
 */
export function partHeadline(serial: string, judged: readonly JudgedCharacteristic[]): Sentence {
  const of = (decision: ConformityDecision) => judged.filter((each) => each.decision === decision)
  const outside = of('not conforming')
  const open = of('inside the uncertainty')
  const about: Phrase = { text: `Part ${serial} ` }
  if (judged.length === 0) return [about, { text: 'has no value on record that the drawing limits.' }]
  const all =
    judged.length === 1 ? 'the one characteristic' : `all ${countWord(judged.length)} characteristics`
  if (outside.length > 0) {
    const more = open.length === 0 ? '' : `, and measuring leaves ${listed(open)} open`
    return [about, { text: 'does not conform', role: 'mark' }, { text: ` in ${listed(outside)}${more}.` }]
  }
  if (open.length > 0) {
    return [
      about,
      { text: 'is not proved to conform', role: 'mark' },
      {
        text: ` in ${listed(open)}, ${open.length === 1 ? 'which lies too near a limit for its gauge' : 'which lie too near a limit for their gauges'}.`,
      },
    ]
  }
  return [about, { text: `conforms in ${all} measured.` }]
}

/** Three are named; of more only how many there are. */
function listed(characteristics: readonly JudgedCharacteristic[]): string {
  if (characteristics.length > 3) return `${countWord(characteristics.length)} characteristics`
  const names = characteristics.map(characteristicTitle)
  return names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`
}
