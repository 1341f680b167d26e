import { WESTERN_ELECTRIC } from '../charts/tests.ts'
import type { Axis } from '../domain/characteristic.ts'
import type { JudgedRow } from '../overview/build-overview.ts'
import { runLengthOfTests } from '../run-length/tests-run-length.ts'
import { capitalise, characteristicTitle, countWord, formatNumber, meanDecimals } from './format.ts'
import type { Phrase, Sentence } from './sentence.ts'

interface Words {
  readonly headline: Sentence
  readonly grounds: Sentence
}

/** Rows along one axis that moved the same way: the sign of a change of shrinkage. */
interface AxisShift {
  readonly axis: Axis
  readonly rows: readonly JudgedRow[]
  readonly ofRows: number
  readonly since: string
  /** Relative shift in percent of nominal, mean of the rows. */
  readonly percent: number
  readonly halfWidth: number
}

/**
 * What a reader comes to the page to learn, in one sentence, and what it rests on.
 *
 * In this order: a whole axis that moved, single characteristics that moved, a signal in the latest builds,
 * nothing. What a finding answers is said last.
 */
export function overviewWords(
  judged: readonly JudgedRow[],
  builds: readonly { readonly name: string }[],
): Words {
  if (judged.length === 0) {
    return { headline: [{ text: 'Nothing is measured yet.' }], grounds: [] }
  }
  const axes = axisShifts(judged, builds)
  const inAxes = new Set(axes.flatMap((shift) => shift.rows))
  const singles = judged.filter((item) => item.shift !== null && item.answer === null && !inAxes.has(item))
  const rest = [...answeredAside(judged), ...rests(judged)]
  const [first, ...others] = axes
  if (first !== undefined) {
    return {
      headline: axisSentence(first),
      grounds: [...others.flatMap(spaced(axisSentence)), ...singlesAside(singles), ...rest],
    }
  }
  const leading = strongest(singles)
  if (leading !== undefined) {
    const others = singles.filter((item) => item !== leading)
    return { headline: singleSentence(leading), grounds: [...singlesAside(others), ...rest] }
  }
  return quiet(judged, builds)
}

function axisShifts(judged: readonly JudgedRow[], builds: readonly { readonly name: string }[]): AxisShift[] {
  const found: AxisShift[] = []
  for (const axis of ['X', 'Y', 'Z'] as const) {
    const ofAxis = judged.filter((item) => item.row.characteristic.axis === axis)
    for (const sign of [1, -1]) {
      const rows = ofAxis.filter(
        (item) =>
          item.shift !== null &&
          item.answer === null &&
          Math.sign(item.shift.size) === sign &&
          (item.row.characteristic.nominal ?? 0) > 0,
      )
      if (rows.length < 2 || rows.length < ofAxis.length / 2) continue
      const relative = (pick: 'size' | 'halfWidth') =>
        mean(
          rows.map((item) => (100 * (item.shift?.[pick] ?? 0)) / (item.row.characteristic.nominal as number)),
        )
      found.push({
        axis,
        rows,
        ofRows: ofAxis.length,
        since: middleBuild(rows, builds),
        percent: relative('size'),
        // The rows share each build's shrinkage, so that their mean is no surer than one of them.
        halfWidth: relative('halfWidth'),
      })
    }
  }
  return found.sort((a, b) => Math.abs(b.percent) / b.halfWidth - Math.abs(a.percent) / a.halfWidth)
}

/** Of the builds at which the rows' shifts began, the middle one in time. */
function middleBuild(rows: readonly JudgedRow[], builds: readonly { readonly name: string }[]): string {
  const order = new Map(builds.map((build, i) => [build.name, i]))
  const starts = rows.map((item) => item.since as string)
  starts.sort((a, b) => (order.get(a) ?? 0) - (order.get(b) ?? 0))
  return starts[Math.floor((starts.length - 1) / 2)] as string
}

function axisSentence(shift: AxisShift): Sentence {
  const share =
    shift.rows.length === shift.ofRows
      ? 'everything'
      : `${countWord(shift.rows.length)} of ${countWord(shift.ofRows)}`
  const verb = share === 'everything' ? 'comes' : 'come'
  const { decimals } = precision(shift.halfWidth)
  return [
    { text: `Since build ${shift.since} ${share} along ${shift.axis} ${verb} out ` },
    sizeWord(shift.percent),
    {
      text: `, by ${formatNumber(Math.abs(shift.percent), decimals)} % ± ${formatNumber(shift.halfWidth, decimals)}.`,
    },
  ]
}

function singleSentence(item: JudgedRow): Sentence {
  const { characteristic } = item.row
  const size = item.shift?.size ?? 0
  const decimals = meanDecimals(characteristic)
  return [
    { text: `Since build ${item.since} ${characteristicTitle(characteristic)} comes out ` },
    sizeWord(size),
    {
      text: `, by ${formatNumber(Math.abs(size), decimals)} ± ${formatNumber(item.shift?.halfWidth ?? 0, decimals)} ${unitWord(characteristic.unit)}.`,
    },
  ]
}

function singlesAside(items: readonly JudgedRow[]): Phrase[] {
  if (items.length === 0) return []
  const names = items.map((item) => `${characteristicTitle(item.row.characteristic)} since ${item.since}`)
  return [
    {
      text: `${capitalise(countWord(items.length))} more ${items.length === 1 ? 'has' : 'have'} moved: ${names.join(', ')}. `,
    },
  ]
}

/** What moved and is answered by a finding. */
function answeredAside(judged: readonly JudgedRow[]): Phrase[] {
  const answered = judged.filter((item) => item.answer !== null)
  if (answered.length === 0) return []
  const findings = [...new Set(answered.map((item) => item.answer as number))].sort((a, b) => a - b)
  const names = answered.map((item) => characteristicTitle(item.row.characteristic))
  return [
    {
      text: `Moved and answered by finding${findings.length === 1 ? '' : 's'} ${findings.join(', ')}: ${names.join(', ')}. `,
    },
  ]
}

function quiet(judged: readonly JudgedRow[], builds: readonly { readonly name: string }[]): Words {
  const last = builds.length - LATEST
  const recent = judged.filter(({ row }) =>
    row.signals.some((signal, k) => row.answers[k] === null && signal.points.some((i) => i >= last)),
  )
  const answered = answeredAside(judged)
  const leading = strongestByUrgency(recent)
  if (leading?.row.worst) {
    const { characteristic, worst } = leading.row
    return {
      headline: [
        {
          text: `No ${answered.length > 0 ? 'other ' : ''}level has moved, but ${characteristicTitle(characteristic)} signalled at build ${worst.build}: ${worst.words}.`,
        },
      ],
      grounds: [...answered, ...rests(judged)],
    }
  }
  const soon = runLengthOfTests(WESTERN_ELECTRIC, 1)
  return {
    headline: [
      {
        text:
          answered.length > 0
            ? 'Nothing has moved that a finding does not answer.'
            : nothingMoved(builds.length),
      },
    ],
    grounds: [
      ...answered,
      {
        text: `A shift as large as the scatter of the builds would have shown after ${formatNumber(soon, 0)} builds on average. `,
      },
      ...rests(judged),
    ],
  }
}

function nothingMoved(builds: number): string {
  const looked = Math.min(LATEST, builds)
  return looked === 1
    ? 'One build is on record; whether it moved cannot be told yet.'
    : `Nothing has moved in the last ${countWord(looked)} builds.`
}

/** Builds that count as the latest. */
const LATEST = 5

/** How many are steady, how firm the limits are, and what the tests cost. */
function rests(judged: readonly JudgedRow[]): Phrase[] {
  const steady = judged.filter((item) => item.row.signals.length === 0).length
  const open = judged.filter((item) => item.row.answers.includes(null)).length
  const provisional = judged.filter((item) => item.row.provisional).length
  const falseAlarm = runLengthOfTests(WESTERN_ELECTRIC, 0)
  const words: Phrase[] = [
    {
      text:
        steady === judged.length
          ? 'No characteristic shows a signal. '
          : `${capitalise(countWord(judged.length - steady))} of ${countWord(judged.length)} characteristics show a signal somewhere${unansweredWords(judged.length - steady, open)}. `,
    },
  ]
  if (provisional > 0) {
    words.push({ text: 'Limits are provisional: fewer than twenty-five builds stand behind them. ' })
  }
  words.push({
    text: `By chance alone each chart would signal about once in ${formatNumber(falseAlarm, 0)} builds.`,
  })
  return words
}

/** How many of the characteristics with signals have one that no finding answers; nothing while nobody wrote any. */
function unansweredWords(signalling: number, open: number): string {
  if (open === signalling) return ''
  return open === 0 ? ', all answered by findings' : `, ${countWord(open)} of them unanswered`
}

function strongest(items: readonly JudgedRow[]): JudgedRow | undefined {
  return [...items].sort((a, b) => surety(b) - surety(a))[0]
}

function surety(item: JudgedRow): number {
  return item.shift === null ? 0 : Math.abs(item.shift.size) / item.shift.halfWidth
}

function strongestByUrgency(items: readonly JudgedRow[]): JudgedRow | undefined {
  return [...items].sort((a, b) => b.row.urgency - a.row.urgency)[0]
}

function sizeWord(size: number): Phrase {
  return size < 0 ? { text: 'small', role: 'under' } : { text: 'large', role: 'over' }
}

/** Decimals that show an uncertainty with one significant digit, two where that digit is a one. */
function precision(halfWidth: number): { decimals: number } {
  const exponent = Math.floor(Math.log10(halfWidth))
  const leadingOne = halfWidth / 10 ** exponent < 1.95
  return { decimals: Math.min(6, Math.max(0, (leadingOne ? 1 : 0) - exponent)) }
}

function unitWord(unit: string): string {
  return unit === 'um' ? 'µm' : unit === 'deg' ? '°' : unit
}

function spaced(sentence: (shift: AxisShift) => Sentence): (shift: AxisShift) => Phrase[] {
  return (shift) => [...sentence(shift), { text: ' ' }]
}

function mean(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length
}
