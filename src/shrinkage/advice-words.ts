import { capitalise, countOf, countWord, formatNumber, formatSigned } from '../words/format.ts'
import type { Phrase, Sentence } from '../words/sentence.ts'
import { type Advice, type AdviceReason, type AxisAdvice, HARDLY_FITS } from './advice.ts'

/** Decimals of a scale factor, as print jobs take them. */
const FACTOR_DECIMALS = 4

/**
 * What to do about the scale factors, in one sentence; what it rests on, as a whole and axis by axis; and how far it may
 * be trusted.
 */
export function adviceWords(advice: Advice): {
  readonly headline: Sentence
  readonly grounds: Sentence
  readonly groundLines: readonly Sentence[]
  readonly caution: Sentence
} {
  const told = unfittedWords(advice) === null
  const groundLines = told ? [...advice.axes.map(axisGrounds), schemeGrounds(advice)] : []
  return {
    headline: headline(advice),
    grounds: groundLines.flat(),
    groundLines: groundLines.filter((line) => line.length > 0),
    caution: [
      {
        text: 'This supports, and does not replace, the judgement of whoever is responsible: prove new factors on a first build; drawing, customer and site rules govern.',
      },
    ],
  }
}

function headline(advice: Advice): Sentence {
  const correct = advice.axes.filter((axis) => axis.action === 'correct')
  const unexplained = advice.axes.filter((axis) => axis.reason === 'unexplained-signal')
  const watched = advice.axes.filter((axis) => axis.action === 'watch' && !unexplained.includes(axis))
  const rest = advice.axes.filter((axis) => axis.action === 'leave')
  if (correct.length > 0) {
    const words: Phrase[] = [{ text: 'Correct ' }]
    for (const [i, axis] of correct.entries()) {
      if (i > 0) words.push({ text: i === correct.length - 1 ? ' and ' : ', ' })
      words.push(
        { text: `scale factor ${axis.axis} from ${factor(axis.current)} to ` },
        { text: factor(axis.next), role: 'mark' },
        { text: ` ± ${factor(axis.needed?.halfWidth ?? null)}` },
      )
    }
    if (unexplained.length > 0) words.push({ text: `; find first what moved ${axisNames(unexplained)}` })
    if (watched.length > 0) words.push({ text: `; watch ${axisNames(watched)}` })
    if (rest.length > 0) words.push({ text: `; leave ${axisNames(rest)} alone` })
    words.push({ text: '.' })
    return words
  }
  if (unexplained.length > 0) {
    const others = [
      ...(watched.length > 0 ? [`; watch ${axisNames(watched)}`] : []),
      ...(rest.length > 0 ? [`; leave ${axisNames(rest)} alone`] : []),
    ]
    return [
      {
        text: `Find first what moved ${axisNames(unexplained)}: a correction before that may answer the wrong thing${others.join('')}.`,
      },
    ]
  }
  const [first] = watched
  if (first === undefined) return [{ text: unfittedWords(advice) ?? 'Leave the scale factors alone.' }]
  const sameReason = watched.every((axis) => axis.reason === first.reason)
  return [
    {
      text: sameReason
        ? `Watch ${axisNames(watched)}: ${reasonWords(first, advice)}`
        : `Watch ${axisNames(watched)}`,
    },
    { text: sameReason ? '.' : '; change nothing yet.' },
  ]
}

const UNFITTED: ReadonlySet<AdviceReason> = new Set(['nothing-measured', 'no-factor-recorded', 'no-nominal'])

/** What is missing where shrinkage is fitted along no axis; null where it is along one. */
function unfittedWords({ axes }: Advice): string | null {
  if (!axes.every(({ reason }) => UNFITTED.has(reason))) return null
  if (axes.some(({ reason }) => reason === 'no-factor-recorded'))
    return 'Shrinkage cannot be told: builds are on record without their scale factors.'
  if (axes.some(({ reason }) => reason === 'no-nominal'))
    return 'Shrinkage cannot be told: no size has a nominal to shrink to.'
  return 'Nothing is measured yet that tells shrinkage.'
}

function reasonWords(axis: AxisAdvice, advice: Advice): string {
  switch (axis.reason) {
    case 'too-few-builds':
      return `${countOf(axis.builds, 'build')} ${axis.builds === 1 ? 'is' : 'are'} too few to tell drift from chance, ${countWord(advice.settings.leastBuilds)} are asked for`
    case 'no-factor':
      return 'the scale factor in use is not known'
    case 'inside-deadband':
      return 'it is off, but by less than a change is worth'
    case 'beyond-deadband':
    case 'on-target':
    case 'unexplained-signal':
    case 'no-factor-recorded':
    case 'no-nominal':
    case 'nothing-measured':
      return 'no change is due'
  }
}

/** What is known of an axis, from where on a change pays, and why that may be inside the interval. */
function axisGrounds(axis: AxisAdvice): Phrase[] {
  if (axis.reason === 'nothing-measured') return [{ text: `${axis.axis}: nothing is measured along it. ` }]
  // Said once, as what the record lacks.
  if (UNFITTED.has(axis.reason)) return []
  const { deviation, deadband, fits } = axis
  if (deviation === null || deadband === null || fits === null)
    return [{ text: `${axis.axis}: ${missing(axis)}. ` }]
  const scatter = axis.buildSigma === null ? '' : `single builds scatter by ${percent(axis.buildSigma)} %; `
  const words: Phrase[] = [
    { text: `${axis.axis} ` },
    ...sizeWords(deviation),
    {
      text: ` (chance that the factor still fits ${chanceText(fits)}); ${scatter}a correction pays from ${percent(deadband)} % on${riderWords(axis)}. `,
    },
  ]
  if (axis.action === 'correct' && Math.abs(deviation.value) <= deviation.halfWidth) {
    words.push({
      text: 'That is inside the interval: the drift is as good as sure, its size is not, and waiting to be surer costs more on average than a change that is a little off. ',
    })
  } else if (fits >= HARDLY_FITS && Math.abs(deviation.value) > deviation.halfWidth) {
    words.push({ text: 'Its builds alone speak for a change; those of the other axes speak against it. ' })
  }
  if (axis.stepLimited)
    words.push({ text: `${factor(axis.needed?.value ?? null)} is needed, but one step may not go so far. ` })
  return words
}

function sizeWords({ value, halfWidth }: { value: number; halfWidth: number }): Phrase[] {
  if (Math.abs(value) <= halfWidth)
    return [{ text: `is near nominal, at ${formatSigned(100 * value, 3)} % ± ${percent(halfWidth)}` }]
  return [
    { text: 'comes out ' },
    value < 0 ? { text: 'small', role: 'under' } : { text: 'large', role: 'over' },
    { text: `, by ${percent(Math.abs(value))} % ± ${percent(halfWidth)}` },
  ]
}

function riderWords({ reason }: AxisAdvice): string {
  if (reason === 'unexplained-signal') return ', once its signal is explained'
  return reason === 'too-few-builds' ? ', after more builds' : ''
}

function chanceText(chance: number): string {
  const value = 100 * chance
  return value < 0.1 ? 'below 0.1 %' : `${formatNumber(value, value < 10 ? 1 : 0)} %`
}

function percent(value: number): string {
  return Number.isFinite(value) ? formatNumber(100 * value, 3) : '–'
}

function missing(axis: AxisAdvice): string {
  return axis.reason === 'no-factor' ? 'the scale factor in use is not known' : 'too few builds are measured'
}

/** By what rule a change is due. */
function schemeGrounds({ axes }: Advice): Phrase[] {
  const builds = Math.max(...axes.map((axis) => axis.builds))
  if (builds === 0) return []
  return [
    {
      text: `${capitalise(countOf(builds, 'build'))} ${builds === 1 ? 'stands' : 'stand'} behind this, all axes together. A correction pays where being off costs more, on average, than a change and the risk that it was not needed. Scatter is one standard deviation of builds, which no factor takes away: correcting on every build would add it to the next one’s, and with no drift double the variance.`,
    },
  ]
}

function axisNames(axes: readonly AxisAdvice[]): string {
  const names = axes.map(({ axis }) => axis)
  const last = names[names.length - 1] as string
  return names.length === 1 ? last : `${names.slice(0, -1).join(', ')} and ${last}`
}

function factor(value: number | null): string {
  return value === null ? 'unknown' : formatNumber(value, FACTOR_DECIMALS)
}
