import type { Characteristic } from '../domain/characteristic.ts'
import {
  capitalise,
  characteristicTitle,
  countOf,
  countWord,
  formatNumber,
  meanDecimals,
} from '../words/format.ts'
import type { Phrase, Sentence } from '../words/sentence.ts'
import { unitText } from '../words/unit.ts'
import { gaugeJudgement } from './gauge-judgement.ts'
import type { StandOut } from './stand-out.ts'
import type { GaugeStudy, Shortfall, StudyFigure } from './study-model.ts'

/** The verdict on a gauge for one characteristic, and what it rests on. */
export function gaugeWords(
  characteristic: Characteristic,
  study: GaugeStudy,
  standOuts: readonly StandOut[] = [],
): { readonly headline: Sentence; readonly grounds: Sentence } {
  const grounds = [
    ...readingsWords(study),
    ...spreadWords(characteristic, study),
    ...categoriesWords(study),
    ...methodWords(study),
    ...standOuts.map((each) => ({ text: standOutWords(characteristic, each) })),
    ...study.shortfalls.map((shortfall) => ({ text: SHORTFALL_WORDS[shortfall] })),
  ]
  return { headline: headline(characteristic, study), grounds: spaced(grounds) }
}

function headline(characteristic: Characteristic, study: GaugeStudy): Sentence {
  const name = characteristicTitle(characteristic)
  const judgement = gaugeJudgement(study)
  if (judgement === null) {
    return [
      { text: `How finely ${name} is measured ` },
      { text: 'cannot be said yet', role: 'strong' },
      { text: '.' },
    ]
  }
  const { verdict, sure, share, of } = judgement
  const whole = of === 'tolerance' ? 'the tolerance' : 'the spread that is seen'
  const verdictPhrase: Phrase =
    verdict === 'too coarse' ? { text: verdict, role: 'mark' } : { text: verdict, role: 'strong' }
  return [
    { text: `The gauge is ${sure ? 'surely ' : ''}` },
    verdictPhrase,
    {
      text: ` for ${name}: it takes ${percent(share.value)} of ${whole} (${intervalWords(share)}, ${percent(study.confidence)} confidence)${sure ? '' : ', which the readings do not settle'}.`,
    },
  ]
}

function readingsWords({ n, parts, inspectors, trials }: GaugeStudy): Phrase[] {
  if (n === 0) return []
  const each =
    trials === null
      ? ''
      : trials === 1
        ? ', once each'
        : trials === 2
          ? ', twice each'
          : `, ${countWord(trials)} times each`
  return [
    {
      text: `${capitalise(countOf(parts.length, 'part'))}, ${countOf(inspectors.length, 'inspector')}${each}: ${n} ${n === 1 ? 'reading' : 'readings'}.`,
    },
  ]
}

function spreadWords(characteristic: Characteristic, { components }: GaugeStudy): Phrase[] {
  const decimals = meanDecimals(characteristic)
  const named = [
    ['repeatability', components.repeatability],
    ['inspectors', components.reproducibility],
    ['parts', components.part],
  ] as const
  const told = named.flatMap(([name, component]) => {
    if (component === null) return []
    const { value, lower, upper } = component.sd
    const to = upper === null ? 'no upper limit' : formatNumber(upper, decimals)
    return [`${name} ${formatNumber(value, decimals)} (${formatNumber(lower, decimals)} to ${to})`]
  })
  return told.length === 0
    ? []
    : [{ text: `Standard deviations: ${told.join(', ')} ${unitText(characteristic.unit)}.` }]
}

function categoriesWords({ categories }: GaugeStudy): Phrase[] {
  if (categories === null) return []
  // Cut off, not rounded: a group that is told apart only in part is none.
  const whole = Math.floor(categories.value)
  const groups =
    whole <= 1
      ? 'does not tell groups of these parts apart'
      : `tells ${countOf(whole, 'group')} of these parts apart`
  const enough = whole >= 5 ? '' : '; five are asked for (common practice)'
  return [{ text: `It ${groups}${enough}.` }]
}

function methodWords({ method, interaction, layout, components }: GaugeStudy): Phrase[] {
  if (Object.values(components).every((component) => component === null)) return []
  const intervals =
    method === 'analysis of variance'
      ? 'by analysis of variance, intervals by modified large samples'
      : 'by restricted maximum likelihood, intervals by profile likelihood'
  const parts = layout === 'nested' ? ', parts within inspectors' : ''
  const kept =
    interaction === null
      ? ''
      : interaction === 'kept'
        ? '; the interaction of parts and inspectors is kept'
        : '; no interaction of parts and inspectors is counted'
  return [{ text: `${capitalise(intervals)}${parts}${kept}.` }]
}

function standOutWords(characteristic: Characteristic, { what, name, how, size, p }: StandOut): string {
  const who = `${capitalise(what)} ${name}`
  const probability = p < 0.0001 ? 'p < 0.0001' : `p = ${formatNumber(p, p < 0.01 ? 4 : 2)}`
  switch (how) {
    case 'offset':
      return `${who} reads ${size < 0 ? 'lower' : 'higher'} than the mean of all by ${formatNumber(Math.abs(size), meanDecimals(characteristic))} (${probability}).`
    case 'scatter':
      return what === 'part'
        ? `${who} repeats ${formatNumber(size, 1)} times as widely as the others (${probability}).`
        : `${who} repeats with ${formatNumber(size, 1)} times the spread of the others (${probability}).`
    case 'disagreement':
      return `On part ${name} inspectors differ otherwise than on the rest (${probability}).`
  }
}

const SHORTFALL_WORDS: Readonly<Record<Shortfall, string>> = {
  'too few readings': 'Nothing can be said from fewer than two readings.',
  'constant readings': 'All readings are equal: what spread there is lies below the step of the gauge.',
  'constant repeats':
    'Repeated readings never differ: repeatability lies below the step of the gauge, which has no upper limit here.',
  'missing readings':
    'Not every inspector measured every part equally often; the components allow for that, and nothing was filled in.',
  'one trial': 'No reading was repeated, so repeatability stands together with the interaction.',
  'one part': 'With a single part there is no spread of parts to compare the gauge with.',
  'one inspector':
    'With one inspector, or a machine alone, nothing is said of differences between inspectors.',
  'components mixed':
    'Too few readings are repeated to tell the components apart; only what is left together is given.',
  'no maximum':
    'The components that fit these readings best could not be found, as where readings fit together without any scatter; only the total is given.',
  'too many pairs':
    'Measured unevenly, so many pairs of part and inspector are not analysed; only the total is given. Complete the study, or take some of its parts.',
  'parts nested':
    'Each inspector had other parts, so differences between inspectors are judged beside those between parts.',
}

function percent(share: number): string {
  return `${formatNumber(100 * share, share < 0.1 ? 1 : 0)} %`
}

function intervalWords({ lower, upper }: StudyFigure): string {
  return upper === null ? `at least ${percent(lower)}` : `${percent(lower)} to ${percent(upper)}`
}

function spaced(phrases: readonly Phrase[]): Phrase[] {
  return phrases.map((phrase, i) =>
    i === phrases.length - 1 ? phrase : { ...phrase, text: `${phrase.text} ` },
  )
}
