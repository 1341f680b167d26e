import { capitalise, countWord, formatNumber, formatSigned } from '../words/format.ts'
import type { Phrase, Sentence } from '../words/sentence.ts'
import type { Advice, AxisAdvice } from './advice.ts'

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
  const groundLines = [...advice.axes.map(axisGrounds), schemeGrounds(advice)]
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
  const watched = advice.axes.filter((axis) => axis.action === 'watch')
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
    const rest = advice.axes.filter((axis) => axis.action === 'leave')
    if (rest.length > 0) words.push({ text: `; leave ${axisNames(rest)} alone` })
    words.push({ text: '.' })
    return words
  }
  const [first] = watched
  if (first === undefined) {
    return advice.axes.every((axis) => axis.reason === 'nothing-measured')
      ? [{ text: 'Nothing is measured yet that tells shrinkage.' }]
      : [{ text: 'Leave the scale factors alone.' }]
  }
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

function reasonWords(axis: AxisAdvice, advice: Advice): string {
  switch (axis.reason) {
    case 'unexplained-signal':
      return 'a signal stands that nobody has explained, so that no correction is advised before its cause is found'
    case 'too-few-builds':
      return `${countWord(axis.builds)} builds are too few to tell drift from chance, ${countWord(advice.settings.leastBuilds)} are asked for`
    case 'no-factor':
      return 'the scale factor in use is not known'
    case 'inside-deadband':
      return 'it is off, but by less than a change is worth'
    case 'beyond-deadband':
    case 'on-target':
    case 'nothing-measured':
      return 'no change is due'
  }
}

function axisGrounds(axis: AxisAdvice): Phrase[] {
  if (axis.reason === 'nothing-measured') return [{ text: `${axis.axis}: nothing is measured along it. ` }]
  if (axis.deviation === null || axis.deadband === null) return [{ text: `${axis.axis}: ${missing(axis)}. ` }]
  const percent = (value: number) => formatNumber(100 * value, 3)
  const size: Phrase[] =
    Math.abs(axis.deviation.value) <= axis.deviation.halfWidth
      ? [{ text: 'on nominal as far as can be told' }]
      : axis.deviation.value < 0
        ? [{ text: 'small', role: 'under' }]
        : [{ text: 'large', role: 'over' }]
  const words: Phrase[] = [
    { text: `${axis.axis} comes out ` },
    ...size,
    {
      text: ` (${formatSigned(100 * axis.deviation.value, 3)} % ± ${percent(axis.deviation.halfWidth)}); a change is due from ${percent(axis.deadband)} % on`,
    },
  ]
  if (axis.reason === 'unexplained-signal' || axis.reason === 'too-few-builds')
    words.push({
      text:
        axis.reason === 'too-few-builds' ? ', and after more builds' : ', and once its signal is explained',
    })
  if (axis.stepLimited)
    words.push({ text: `; ${factor(axis.needed?.value ?? null)} is needed, but one step may not go so far` })
  words.push({ text: '. ' })
  if (axis.level !== null && axis.buildSigma !== null) {
    const chance = axis.level.driftProbability
    words.push({
      text:
        chance >= 0.95
          ? `Its level drifts; the newest build counts ${formatNumber(100 * axis.level.weight, 0)} %. `
          : `No drift is shown; builds scatter by ${percent(axis.buildSigma)} % (one standard deviation), which no factor takes away. `,
    })
  }
  return words
}

function missing(axis: AxisAdvice): string {
  return axis.reason === 'no-factor' ? 'the scale factor in use is not known' : 'too few builds are measured'
}

function schemeGrounds(advice: Advice): Phrase[] {
  const builds = Math.max(...advice.axes.map((axis) => axis.builds))
  if (builds === 0) return []
  return [
    {
      text: `${capitalise(countWord(builds))} builds stand behind this. Correcting on every build would add its scatter to the next one’s: with no drift it doubles the variance.`,
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
