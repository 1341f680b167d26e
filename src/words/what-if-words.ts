import type { AppliedRequirement } from '../capability/requirement.ts'
import { verdictOf } from '../capability/summarise.ts'
import type { CapabilitySummary } from '../capability/summary.ts'
import type { SuppositionObstacle } from '../capability/supposition.ts'
import type { SupposedFigures, Supposition } from '../capability/what-if.ts'
import { capitalise, formatNumber, meanDecimals } from './format.ts'
import type { Phrase, Sentence } from './sentence.ts'
import { unitText } from './unit.ts'

/** What would follow from a supposition, in one sentence that says that it is one. */
export function whatIfWords(
  { characteristic, ppk, requirement }: CapabilitySummary,
  supposition: Supposition,
  figures: SupposedFigures,
): Sentence {
  const { nearer } = figures
  const supposed = capitalise(`${supposedWords(supposition, figures, characteristic)}`)
  if (nearer === null) return [{ text: `${supposed}, there would be no Ppk.` }]
  const instead = ppk === null ? '' : ` in place of ${formatNumber(ppk.value, 2)}`
  return [
    { text: `${supposed}, Ppk would be ` },
    { text: formatNumber(nearer.value, 2), role: 'strong' },
    {
      text: ` (${formatNumber(nearer.lower, 2)} to ${formatNumber(nearer.upper, 2)})${instead}`,
    },
    ...verdictWords(figures, requirement),
    { text: '.' },
  ]
}

function supposedWords(
  { centred, buildsAlike, limits }: Supposition,
  { limits: { lower, upper } }: SupposedFigures,
  characteristic: CapabilitySummary['characteristic'],
): string {
  const decimals = meanDecimals(characteristic) - 1
  const number = (value: number) =>
    formatNumber(value, decimals)
      .replace(/(\.\d*?)0+$/, '$1')
      .replace(/\.$/, '')
  const unit = unitText(characteristic.unit)
  const between =
    lower === null
      ? `there were one limit, ${upper === null ? '' : number(upper)} ${unit} at most`
      : upper === null
        ? `there were one limit, ${number(lower)} ${unit} at least`
        : `the limits were ${number(lower)} and ${number(upper)} ${unit}`
  const supposed = [
    ...(limits === null ? [] : [between]),
    ...(centred ? ['the values lay in the middle of the tolerance'] : []),
    ...(buildsAlike ? ['builds did not differ'] : []),
  ]
  return supposed.length === 0 ? 'as it is' : `if ${supposed.join(', and ')}`
}

function verdictWords({ nearer }: SupposedFigures, { index, value }: AppliedRequirement): Phrase[] {
  if (nearer === null) return []
  const asked = `Ppk ${formatNumber(value, 2)}`
  if (index !== 'Ppk') return [{ text: '; the customer asks for Cpk, which this does not tell' }]
  switch (verdictOf(nearer, value)) {
    case 'holds':
      return [{ text: `, and ${asked} would surely be held` }]
    case 'does not':
      return [{ text: ', and ' }, { text: `${asked} would surely not be held`, role: 'mark' }]
    case 'not yet sure':
      return [{ text: `, and whether ${asked} would be held could not be said yet` }]
  }
}

/** Why something cannot be supposed, and what can. */
export const OBSTACLE_WORDS: Readonly<Record<SuppositionObstacle, string>> = {
  'no spread': 'The values tell no spread, so that nothing can be worked out from them.',
  'no limits': 'Without any limit there is nothing to be judged by: give at least one.',
  'crossed limits': 'The lower limit has to lie below the upper one: correct one of them.',
  'far limit':
    'A limit lies more than a thousand sigma from the mean, where no index says anything: check its unit and decimal point.',
  'no middle': 'There is no middle without two limits: give both, or leave the values where they are.',
  floor:
    'Its distribution begins at zero and cannot be moved as it is: only other limits can be supposed of it.',
  'single values':
    'No build has two values, so that the scatter inside builds is not known: measure several parts of a build.',
  'no spread inside':
    'All values of a build are the same, so that without what builds add there would be no spread at all: look at the step of the gauge.',
  'not normal':
    'What builds add can be taken out of a normal distribution only, and its own is another: only other limits can be supposed of it.',
}
