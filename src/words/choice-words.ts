import type { ChoiceReason } from '../capability/choose-distribution.ts'
import type { Family } from '../capability/fit-family.ts'
import { capitalise, countOf, formatCount, formatNumber } from './format.ts'

/** The reason for a choice of distribution in one sentence, and what was read as rounded in another. */
export function choiceSentence(chosen: Family, reason: ChoiceReason): string {
  const { roundedZeros } = reason
  const rounded =
    roundedZeros === 0
      ? ''
      : ` ${capitalise(countOf(roundedZeros, 'value'))} of exactly zero ${roundedZeros === 1 ? 'is' : 'are'} read as rounded.`
  return `${whyChosen(chosen, reason)}${rounded}`
}

/** Of how many values the distribution was chosen on a part; null where it was chosen on all. */
export function sampleSentence(chosenOn: number, n: number): string | null {
  return chosenOn < n
    ? `Chosen on ${formatCount(chosenOn)} of ${formatCount(n)} values, scattered over all builds.`
    : null
}

function whyChosen(chosen: Family, reason: ChoiceReason): string {
  const { n, nEffective, usual, normality, advantage, advantageAsked } = reason
  const kind = reason.belowFloor
    ? 'taken because values below zero rule out those usual for a deviation,'
    : 'usual for this kind of characteristic,'
  const values = `${formatCount(n)} values`
  const test =
    normality === null
      ? ''
      : `(modified A² ${formatNumber(normality.statistic, 2)}, bound ${formatNumber(normality.bound, 2)})`
  switch (reason.kind) {
    case 'too few values': {
      const worth =
        nEffective < n ? ` in builds that differ, worth ${Math.floor(nEffective)} independent ones,` : ''
      return `The ${usual} distribution, ${kind} stands: ${values}${worth} are too few to tell the shape.`
    }
    case 'normality not refuted':
      return `The normal distribution, ${kind} stands: the Anderson–Darling test does not refute it on ${values} ${test}.`
    case 'no family clearly better':
      return normality === null
        ? `The ${usual} distribution, ${kind} stands: no other family describes the ${values} clearly better.`
        : `The normal distribution, ${kind} stands: the Anderson–Darling test refutes it ${test}, but no other family describes the ${values} clearly better; look for coarse gauge steps, outliers or mixed levels.`
    case 'another family clearly better': {
      const refuted = normality === null ? '' : `the Anderson–Darling test refutes that ${test}, and `
      return `The ${chosen} distribution stands in for the ${usual}, ${kind} because ${refuted}it describes the ${values} clearly better (BIC lower by ${formatNumber(advantage, 1)}, at least ${formatNumber(advantageAsked, 0)} being asked).`
    }
  }
}
