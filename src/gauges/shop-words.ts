import { capitalise, countOf, countWord } from '../words/format.ts'
import type { Phrase, Sentence } from '../words/sentence.ts'
import { type DueState, daysBetween } from './due.ts'
import type { GaugeJudgement, GaugeVerdict } from './gauge-judgement.ts'

/** A characteristic as the page on gauges opens with it. */
export interface MeasuredCharacteristic {
  readonly title: string
  /** Null where no study tells how finely it is measured. */
  readonly judgement: GaugeJudgement | null
}

export interface GaugeDue {
  readonly name: string
  readonly due: string | null
  readonly state: DueState
}

/** A gauge that moved, as its check part shows, and that was not calibrated since. */
export interface MovedGauge {
  readonly name: string
  readonly part: string
  /** As YYYY-MM-DD. */
  readonly day: string
}

/**
 * What can and cannot be judged with the gauges at hand, and which of them are overdue. A gauge that moved comes first:
 * until that is settled, nothing else that is said of it holds.
 *
 * @param today as YYYY-MM-DD
 * @param subject with its verb, as the sentence begins
 */
export function shopWords(
  characteristics: readonly MeasuredCharacteristic[],
  gauges: readonly GaugeDue[],
  moved: readonly MovedGauge[],
  today: string,
  subject = 'The gauges at hand are',
): { readonly headline: Sentence; readonly grounds: Sentence } {
  const judged = headline(characteristics, subject)
  const grounds = groundsOf(characteristics, gauges, today)
  return moved.length === 0
    ? { headline: judged, grounds }
    : { headline: movedWords(moved), grounds: [...judged, { text: ' ' }, ...grounds] }
}

function movedWords(moved: readonly MovedGauge[]): Sentence {
  const one = moved.length === 1
  return [
    ...moved.flatMap(({ name, part, day }, i): Phrase[] => [
      { text: i === 0 ? '' : i === moved.length - 1 ? ' and ' : ', ' },
      { text: `${i === 0 ? capitalise(name) : name} moved at ${day}`, role: 'mark' },
      { text: ` by its check part ${part}` },
    ]),
    {
      text: `: ${one ? 'calibrate it' : 'calibrate them'}, and look again at what ${one ? 'it' : 'they'} measured from then on before the process is blamed.`,
    },
  ].filter(({ text }) => text !== '')
}

function headline(characteristics: readonly MeasuredCharacteristic[], subject: string): Sentence {
  const total = characteristics.length
  if (total === 0) {
    return [
      { text: 'No characteristic is on record yet', role: 'strong' },
      { text: ', so that there is nothing to measure.' },
    ]
  }
  const unknown = characteristics.filter(({ judgement }) => judgement === null).length
  if (unknown === total) {
    return [
      {
        text: `How finely ${total === 1 ? 'the one characteristic is' : `the ${countOf(total, 'characteristic')} are`} measured `,
      },
      { text: 'nobody has studied yet', role: 'strong' },
      { text: '.' },
    ]
  }
  const told = VERDICTS.flatMap((verdict) => {
    const count = characteristics.filter(({ judgement }) => judgement?.verdict === verdict).length
    return count === 0 ? [] : [{ verdict, count }]
  })
  const said = told.flatMap(({ verdict, count }, i): Phrase[] => [
    { text: i === 0 ? '' : i === told.length - 1 ? ' and ' : ', ' },
    { text: verdict, role: verdict === 'too coarse' ? 'mark' : 'strong' },
    {
      text:
        total === 1
          ? ' for the one characteristic'
          : ` for ${countWord(count)}${i === 0 ? ` of ${countOf(total, 'characteristic')}` : ''}`,
    },
  ])
  return [
    { text: `${subject} ` },
    ...said.filter(({ text }) => text !== ''),
    { text: unknown === 0 ? '.' : `; nobody has looked at ${countWord(unknown)}.` },
  ]
}

const VERDICTS: readonly GaugeVerdict[] = ['fine enough', 'usable with care', 'too coarse']

function groundsOf(
  characteristics: readonly MeasuredCharacteristic[],
  gauges: readonly GaugeDue[],
  today: string,
): Sentence {
  const phrases: Phrase[] = []
  const unsure = characteristics.filter(({ judgement }) => judgement !== null && !judgement.sure)
  const coarse = characteristics.filter(({ judgement }) => judgement?.verdict === 'too coarse')
  if (coarse.length > 0) {
    phrases.push({
      text: `Too coarse for ${listed(coarse.map(({ title }) => title))}: there a change of the process smaller than the gauge’s spread cannot be seen. `,
    })
  }
  if (unsure.length > 0) {
    phrases.push({
      text: `The studies do not settle ${listed(unsure.map(({ title }) => title))}: more parts, inspectors or trials would. `,
    })
  }
  const overdue = gauges.filter(({ state }) => state === 'overdue')
  for (const { name, due } of overdue) {
    phrases.push(
      { text: `${capitalise(name)} ` },
      { text: 'is overdue', role: 'mark' },
      { text: ` by ${countOf(daysBetween(due as string, today), 'day')}. ` },
    )
  }
  const soon = gauges.filter(({ state }) => state === 'due soon')
  for (const { name, due } of soon) {
    phrases.push({
      text: `${capitalise(name)} is due in ${countOf(daysBetween(today, due as string), 'day')}. `,
    })
  }
  if (overdue.length + soon.length === 0 && gauges.some(({ state }) => state === 'in time')) {
    phrases.push({ text: 'No registered gauge is overdue. ' })
  }
  return phrases.map((phrase, i) =>
    i === phrases.length - 1 ? { ...phrase, text: phrase.text.trimEnd() } : phrase,
  )
}

/** Names spelt out before a list only counts. */
const SPELT = 6

function listed(names: readonly string[]): string {
  if (names.length > SPELT)
    return `${names.slice(0, SPELT).join(', ')} and ${countWord(names.length - SPELT)} more`
  return names.length === 1 ? (names[0] as string) : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`
}
