import type { Characteristic } from '../domain/characteristic.ts'
import { COMPARE } from '../gauges/gauge-changes.ts'
import { capitalise, countWord, formatNumber, valueDecimals } from '../words/format.ts'
import type { Phrase, Sentence } from '../words/sentence.ts'
import { amountInUnit, sizeWord } from '../words/shift-words.ts'
import { conditionChange } from '../words/signal-change-words.ts'
import type { Estimate, EventMember, ProcessEvent } from './event.ts'
import type { RankedCondition } from './rank-conditions.ts'
import { isSize } from './search-input.ts'

/** What the words of an event are made from besides the event. */
export interface EventWordsInput {
  readonly event: ProcessEvent
  readonly ranked: readonly RankedCondition[]
  /** All characteristics that were looked at. */
  readonly characteristics: readonly Characteristic[]
  /** The timeline. */
  readonly builds: readonly { readonly name: string }[]
}

/** An event in one sentence, and the line of grounds under it: what changed there, and how sure that is. */
export function eventWords(input: EventWordsInput): {
  readonly sentence: Sentence
  readonly grounds: Sentence
} {
  const { event } = input
  const scatters = event.members.every((member) => member.shift === null)
  const sentence = !scatters
    ? movedWords(input)
    : event.kind === 'single'
      ? outlierWords(input)
      : scatterWords(input)
  return { sentence, grounds: groundsWords(input) }
}

function movedWords(input: EventWordsInput): Sentence {
  const { event } = input
  const [only] = event.members as [EventMember]
  const size = event.members.length === 1 ? null : commonSize(event)
  if (event.members.length > 1 && size === null) return apartWords(input)
  const { subject, plural } = subjectOf(input)
  const verb = event.standing ? (plural ? 'come' : 'comes') : 'came'
  const amount = size === null ? amountInUnit(only.shift as Estimate, only.characteristic) : uncertain(size)
  return [
    { text: `${capitalise(spanWords(input))} ${subject} ${verb} out ` },
    sizeWord((size ?? (only.shift as Estimate)).value, event.kind === 'drift'),
    { text: `, by ${amount}${event.kind === 'drift' ? ` at build ${name(input, event.to)}` : ''}.` },
  ]
}

/** Members that are named with what each shows, where they have no size in common. */
const MOST_APART = 3

/** Members that moved in opposite directions, or that no percentage can be told of: each in its own unit. */
function apartWords(input: EventWordsInput): Sentence {
  const { event } = input
  const moved = event.members.flatMap(({ characteristic, shift }) =>
    shift === null ? [] : [{ characteristic, shift }],
  )
  const words: Phrase[] = [{ text: `${capitalise(spanWords(input))} ${subjectOf(input).subject} moved: ` }]
  for (const [i, { characteristic, shift }] of moved.slice(0, MOST_APART).entries()) {
    words.push(
      { text: `${i === 0 ? '' : ', '}${named(characteristic)} ` },
      sizeWord(shift.value, event.kind === 'drift'),
      { text: ` by ${amountInUnit(shift, characteristic)}` },
    )
  }
  const more = moved.length - MOST_APART
  const at = event.kind === 'drift' ? ` at build ${name(input, event.to)}` : ''
  return [...words, { text: `${more > 0 ? `, and ${countWord(more)} more` : ''}${at}.` }]
}

/** "since build 0441", "from build 0412 to 0420", "in build 0437". */
function spanWords(input: EventWordsInput): string {
  const { from, to, standing } = input.event
  if (standing) return `since build ${name(input, from)}`
  return from === to
    ? `in build ${name(input, from)}`
    : `from build ${name(input, from)} to ${name(input, to)}`
}

function name({ builds }: EventWordsInput, position: number): string {
  return builds[position]?.name ?? ''
}

/** Who moved: one characteristic by name, everything along an axis, or how many of how many. */
function subjectOf({ event, characteristics }: EventWordsInput): { subject: string; plural: boolean } {
  const from =
    event.confinedTo === null ? '' : ` from ${event.confinedTo.condition} ${event.confinedTo.value}`
  const [only] = event.members as [EventMember]
  if (event.members.length === 1) return { subject: named(only.characteristic) + from, plural: false }
  const sizes = characteristics.filter(isSize)
  const concerned = event.axis === null ? sizes : sizes.filter(({ axis }) => axis === event.axis)
  const among = event.members.filter(({ characteristic }) =>
    event.axis === null ? isSize(characteristic) : characteristic.axis === event.axis,
  )
  const along = event.axis === null ? '' : ` along ${event.axis}`
  const all =
    concerned.length === 0
      ? event.members.length === characteristics.length
      : among.length === concerned.length
  if (all) return { subject: `everything${along}${from}`, plural: false }
  const what = event.axis === null ? ' characteristics' : along
  const of = event.axis === null ? characteristics.length : concerned.length
  const count = event.axis === null ? event.members.length : among.length
  return { subject: `${countWord(count)} of ${countWord(of)}${what}${from}`, plural: count !== 1 }
}

function named({ designator, name: words }: Characteristic): string {
  return `${designator} ${words}`
}

/**
 * The common shift in percent of nominal, or the mean of the members' with their mean half width, since they share the
 * builds' scatter. Null where a member has no percentage, or where they moved in opposite directions.
 */
function commonSize({ percent, members }: ProcessEvent): Estimate | null {
  if (percent !== null) return percent
  const moved = members.filter(({ shift }) => shift !== null)
  const known = moved.flatMap((member) => member.percent ?? [])
  const [first] = known
  if (first === undefined || known.length < moved.length) return null
  if (known.some(({ value }) => Math.sign(value) !== Math.sign(first.value))) return null
  const mean = (pick: (estimate: Estimate) => number) =>
    known.reduce((sum, estimate) => sum + pick(estimate), 0) / known.length
  return {
    value: mean(({ value }) => value),
    lower: mean(({ lower }) => lower),
    upper: mean(({ upper }) => upper),
  }
}

function uncertain({ value, lower, upper }: Estimate): string {
  const half = (upper - lower) / 2
  const decimals = decimalsFor(half)
  return `${formatNumber(Math.abs(value), decimals)} % ± ${formatNumber(half, decimals)}`
}

/** Decimals that show an uncertainty with one significant digit, two where that digit is a one. */
function decimalsFor(half: number): number {
  if (!(half > 0)) return 2
  const exponent = Math.floor(Math.log10(half))
  const leadingOne = half / 10 ** exponent < 1.95
  return Math.min(6, Math.max(0, (leadingOne ? 1 : 0) - exponent))
}

function outlierWords(input: EventWordsInput): Sentence {
  const { event } = input
  const words: Phrase[] = []
  for (const { characteristic, outlier } of event.members) {
    if (outlier === null) continue
    const decimals = valueDecimals(characteristic)
    const low = outlier.sigmas < 0
    words.push(
      { text: words.length === 0 ? `In build ${name(input, event.from)} one value of ` : ', one of ' },
      { text: `${named(characteristic)} lies far ` },
      { text: low ? 'below' : 'above', role: low ? 'under' : 'over' },
      {
        text: ` the others: ${formatNumber(outlier.value, decimals)} among ${formatNumber(outlier.others, decimals)}`,
      },
    )
  }
  return [...words, { text: '.' }]
}

function scatterWords(input: EventWordsInput): Sentence {
  const { event } = input
  const ratios = event.members.flatMap(({ scatter }) => (scatter === null ? [] : [scatter.value]))
  const ratio = ratios.reduce((product, value) => product * value ** (1 / ratios.length), 1)
  const { subject, plural } = subjectOf(input)
  const verb = event.standing ? (plural ? 'scatter' : 'scatters') : 'scattered'
  return [
    { text: `${capitalise(spanWords(input))} ${subject} ${verb} ` },
    { text: `${formatNumber(ratio, 1)} times`, role: 'mark' },
    { text: ' as much inside a build as in the baseline.' },
  ]
}

/** Share beyond which a condition accounts for "most of it". */
const MOST = 0.6

function groundsWords(input: EventWordsInput): Sentence {
  const { event, ranked } = input
  const words: string[] = []
  const typed = event.members.flatMap(({ outlier, characteristic }) =>
    outlier === null ? [] : [{ outlier, characteristic }],
  )
  if (typed.length > 0) {
    for (const { outlier, characteristic } of typed) {
      const decimals = valueDecimals(characteristic)
      words.push(
        outlier.exchanged === null
          ? `It lies ${formatNumber(Math.abs(outlier.sigmas), 0)} sigma off while the rest of the build is as usual: a misread or mistyped value, or one odd part.`
          : `With two digits exchanged it would read ${formatNumber(outlier.exchanged, decimals)}, as the others do: probably mistyped. Look at the record of the measurement.`,
      )
    }
  } else {
    words.push(...causeWords(input))
    if (beganAtGauge(input)) words.push(`Where the gauge changes, ${COMPARE}`)
    const first = event.plausible[0] as number
    const last = event.plausible[event.plausible.length - 1] as number
    if (first !== last) {
      words.push(`It began between ${name(input, first)} and ${name(input, last)}, with 95 % confidence.`)
    }
    if (!event.sureOfForm) words.push('Whether at once or little by little cannot be told yet.')
  }
  if (!event.standing && event.to !== event.from) words.push(`It ended with build ${name(input, event.to)}.`)
  if (ranked.some(({ method }) => method === 'scale-prediction')) words.push(predictionWords(ranked))
  return [{ text: words.filter((text) => text !== '').join(' ') }]
}

function causeWords({ event, ranked }: EventWordsInput): string[] {
  const [first, ...others] = ranked
  if (first === undefined) return ['Nothing recorded changed there.']
  if (event.confinedTo !== null) {
    const { condition, value } = event.confinedTo
    return [`Parts of ${condition} ${value} show it, the others ${first.share > MOST ? 'do not' : 'less'}.`]
  }
  const part = first.share > MOST ? 'most' : 'part'
  const also = others.map(conditionChange)
  return [
    `What changed there: ${conditionChange(first)} accounts for ${part} of it${also.length === 0 ? '.' : `; also ${also.join(', ')}.`}`,
  ]
}

/** Whether a change of gauge may account for it, or one gauge alone shows it. */
function beganAtGauge({ event, ranked }: EventWordsInput): boolean {
  return event.confinedTo?.condition === 'gauge' || ranked.some(({ condition }) => condition === 'gauge')
}

function predictionWords(ranked: readonly RankedCondition[]): string {
  const scale = ranked.find(({ method }) => method === 'scale-prediction')
  if (scale === undefined || scale.predictedPercent === null) return ''
  return `The ${scale.condition} by itself makes ${formatNumber(scale.predictedPercent, 3)} %.`
}
