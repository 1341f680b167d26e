import type { ConformityDecision } from '../gauges/conformity.ts'
import { capitalise, characteristicTitle, countOf, countWord } from './format.ts'
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
 * @param limited how many characteristics the drawing limits
 */
export function partHeadline(
  serial: string,
  judged: readonly JudgedCharacteristic[],
  limited: number,
): Sentence {
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
  // What was not measured is not known to conform.
  const rest = judged.length < limited ? `, of ${countWord(limited)} that the drawing limits` : ''
  return [about, { text: `conforms in ${all} measured${rest}.` }]
}

/** Three are named; of more only how many there are. */
function listed(characteristics: readonly JudgedCharacteristic[]): string {
  if (characteristics.length > 3) return `${countWord(characteristics.length)} characteristics`
  const names = characteristics.map(characteristicTitle)
  return names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`
}

/** Whether the parts of a build are proved to conform, in one sentence. */
export function buildPartsHeadline(
  build: string,
  parts: readonly { readonly serial: string; readonly decision: ConformityDecision | null }[],
): Sentence {
  const of = (decision: ConformityDecision | null) => parts.filter((part) => part.decision === decision)
  const outside = of('not conforming')
  const open = of('inside the uncertainty')
  const judged = parts.length - of(null).length
  const unjudged =
    parts.length === judged
      ? ''
      : ` Of ${countWord(parts.length - judged)} nothing is on record that the drawing limits.`
  if (judged === 0) {
    return [
      {
        text: `Build ${build} has ${countOf(parts.length, 'part')}, and no value of them that the drawing limits.`,
      },
    ]
  }
  const all = judged === 1 ? 'the one part judged' : `${countWord(judged)} parts judged`
  if (outside.length + open.length === 0) {
    const which = judged === 1 ? capitalise(all) : `All ${all}`
    return [{ text: `${which} of build ${build} ${judged === 1 ? 'conforms' : 'conform'}.${unjudged}` }]
  }
  const doubt = `${countWord(open.length)} ${open.length === 1 ? 'is' : 'are'} not proved to`
  const found =
    outside.length === 0
      ? doubt
      : `${countWord(outside.length)} ${outside.length === 1 ? 'does' : 'do'} not${open.length === 0 ? '' : ` and ${doubt}`}`
  const conforming = judged - outside.length - open.length
  return [
    {
      text: `Of ${all} of build ${build} ${conforming === 0 ? 'none conforms' : `${countWord(conforming)} ${conforming === 1 ? 'conforms' : 'conform'}`}, `,
    },
    { text: found, role: 'mark' },
    { text: `.${unjudged}` },
  ]
}
