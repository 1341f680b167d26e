import { hasLimits } from '../charts/has-limits.ts'
import type { ChartModel } from '../charts/model.ts'
import { WESTERN_ELECTRIC } from '../charts/tests.ts'
import type { Characteristic } from '../domain/characteristic.ts'
import type { BareSignal } from '../events/event.ts'
import { runLengthOfTests } from '../run-length/tests-run-length.ts'
import { capitalise, characteristicTitle, countOf, countWord, formatNumber, listed } from './format.ts'
import type { Phrase, Sentence } from './sentence.ts'
import { signalWords } from './signal.ts'

interface Words {
  readonly headline: Sentence
  readonly grounds: Sentence
}

/** What is known where no event is left to open with. Positions are those of the timeline. */
export interface QuietRecord {
  readonly charted: readonly { readonly characteristic: Characteristic; readonly chart: ChartModel }[]
  /** Events that findings answer, and that would have been news. */
  readonly answered: readonly {
    readonly answer: number
    readonly members: readonly Pick<Characteristic, 'designator' | 'name'>[]
  }[]
  /** Signals that amount to no event and that no finding answers. */
  readonly bare: readonly BareSignal[]
  readonly builds: readonly { readonly name: string }[]
  /** Signals to expect of all charts over these builds where nothing changes. */
  readonly expectedByChance: number
}

/** Builds that count as the latest. */
const LATEST = 5

/**
 * What a page opens with where no event stands unanswered: whether anything signals all the same, and what would have
 * shown. A signal by itself is no change that is told with a size: of dozens of charts one signals most of the time.
 */
export function quietWords(record: QuietRecord): Words {
  const { charted, answered, builds } = record
  if (charted.length === 0) return { headline: [{ text: 'Nothing is measured yet.' }], grounds: [] }
  const aside = answeredAside(record)
  const recent = latestSignal(record)
  if (recent !== null) {
    return {
      headline: signalSentence(record, recent),
      grounds: [...aside, ...provisionalWords(record), chanceWords(record, 'such signals')],
    }
  }
  if (answered.length > 0) {
    return {
      headline: [{ text: 'Nothing has moved that a finding does not answer.' }],
      grounds: [...aside, ...rests(record)],
    }
  }
  const soon = runLengthOfTests(WESTERN_ELECTRIC, 1)
  const told = builds.length >= soon
  if (!charted.some(({ chart }) => hasLimits(chart))) {
    return { headline: [{ text: nothingTold(builds.length) }], grounds: [{ text: NO_LIMITS }] }
  }
  return {
    headline: [
      {
        text: told
          ? `Nothing has moved in the last ${countWord(LATEST)} builds.`
          : nothingTold(builds.length),
      },
    ],
    grounds: [
      {
        text: `A shift as large as the scatter of the builds ${told ? 'would have shown' : 'shows'} after ${formatNumber(soon, 0)} builds on average. `,
      },
      ...(told ? rests(record) : provisionalWords(record)),
    ],
  }
}

const NO_LIMITS =
  'No limits can be set, since the values of no characteristic scatter: it takes more builds, or a gauge that reads finer.'

function nothingTold(builds: number): string {
  return builds === 1
    ? 'One build is on record; whether it moved cannot be told yet.'
    : `${capitalise(countWord(builds))} builds are on record; whether anything moved cannot be told yet.`
}

/** Of the signals that reach the latest builds, the one that reaches furthest; the longer one of two. */
function latestSignal({ bare, builds }: QuietRecord): BareSignal | null {
  let best: BareSignal | null = null
  for (const each of bare) {
    if (lastOf(each) < builds.length - LATEST) continue
    const further = best === null ? 1 : lastOf(each) - lastOf(best)
    const longer = each.signal.points.length - (best?.signal.points.length ?? 0)
    if (further > 0 || (further === 0 && longer > 0)) best = each
  }
  return best
}

function lastOf({ signal }: BareSignal): number {
  return signal.points.at(-1) ?? 0
}

function signalSentence({ answered, builds }: QuietRecord, { characteristic, signal }: BareSignal): Sentence {
  const name = (position: number | undefined) => builds[position ?? 0]?.name ?? ''
  const [first, last] = [name(signal.points[0]), name(signal.points.at(-1))]
  const where = first === last ? `at build ${first}` : `from build ${first} to ${last}`
  return [
    {
      text: `Nothing ${answered.length > 0 ? 'else ' : ''}has moved beyond chance; ${characteristicTitle(characteristic)} signalled ${where}: ${signalWords(signal)}.`,
    },
  ]
}

/** What moved and is answered by a finding. */
function answeredAside({ answered }: QuietRecord): Phrase[] {
  if (answered.length === 0) return []
  const findings = [...new Set(answered.map(({ answer }) => answer))].sort((a, b) => a - b)
  const names = [...new Set(answered.flatMap(({ members }) => members.map(characteristicTitle)))]
  return [
    {
      text: `Moved and answered by finding${findings.length === 1 ? '' : 's'} ${listed(findings.map(String))}: ${names.join(', ')}. `,
    },
  ]
}

/** How many are steady, how firm the limits are, and what the tests cost. */
function rests(record: QuietRecord): Phrase[] {
  const { charted } = record
  const signalling = charted.filter(({ chart }) => chart.signals.length > 0).length
  const first =
    signalling === 0
      ? 'No characteristic shows a signal. '
      : `${capitalise(countWord(signalling))} of ${countOf(charted.length, 'characteristic')} ${signalling === 1 ? 'shows' : 'show'} a signal somewhere. `
  return [{ text: first }, ...provisionalWords(record), chanceWords(record, 'signals')]
}

function provisionalWords({ charted }: QuietRecord): Phrase[] {
  return charted.some(({ chart }) => chart.phases.some(({ provisional }) => provisional))
    ? [{ text: 'Limits are provisional: fewer than twenty-five builds stand behind them. ' }]
    : []
}

function chanceWords({ expectedByChance, builds }: QuietRecord, what: string): Phrase {
  const expected = formatNumber(expectedByChance, expectedByChance < 10 ? 1 : 0)
  return {
    text: `Where nothing changes, all charts together give about ${expected} ${what} in ${countOf(builds.length, 'build')}.`,
  }
}
