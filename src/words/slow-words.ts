import type { ChartModel } from '../charts/model.ts'
import type { SlowChart, SlowSettings, SlowSignal } from '../charts/slow-change.ts'
import type { Characteristic } from '../domain/characteristic.ts'
import { characteristicTitle, countOf, formatNumber } from './format.ts'
import type { Sentence } from './sentence.ts'

/** What a running average or sum says of a characteristic, beside the tests in force. */
export function slowWords(
  characteristic: Characteristic,
  chart: ChartModel,
  slow: SlowChart,
  settings: SlowSettings,
): { readonly headline: Sentence; readonly grounds: Sentence } {
  const name = characteristicTitle(characteristic)
  const what = settings.by === 'average' ? 'running average' : 'running sum'
  const longest = longestOf(slow.signals)
  const setting =
    settings.by === 'average'
      ? `The newest build weighs ${formatNumber(settings.weight * 100, 0)} %; limits at ± ${formatNumber(slow.multiplier, 3)} standard errors of the average`
      : `Sought soonest is a shift of ${formatNumber(settings.shift, 2)} standard errors of a point; limits at ± ${formatNumber(slow.multiplier, 3)} of them`
  const grounds: Sentence = [
    {
      text: `${setting}, for one false alarm in ${formatNumber(settings.alarm, 0)} builds on average${chart.inControlRunLength === null ? '' : `; the tests in force have one in ${formatNumber(chart.inControlRunLength, 0)}`}.`,
    },
  ]
  if ([...slow.upper, ...slow.lower].every((limit) => limit === null)) {
    return {
      headline: [{ text: `${name} has no limits yet, so that the ${what} tells nothing.` }],
      grounds: [],
    }
  }
  if (longest === null) {
    return { headline: [{ text: `${name}: the ${what} stays within its limits.` }], grounds }
  }
  const label = (i: number) => chart.subgroups[i]?.label ?? ''
  const side = longest.side === 'below' ? 'under' : 'over'
  const first = firstOf(slow.signals, longest)
  const again = first === longest ? '' : `, and again at ${label(longest.from)}`
  return {
    headline: [
      { text: `${name}: the ${what} goes ` },
      { text: longest.side === 'below' ? 'below' : 'above', role: side },
      {
        text: ` its limits at build ${label(first.from)}, ${comparison(first, slow.signals, label)}${again}.`,
      },
    ],
    grounds,
  }
}

/** How it compares with the tests: "three builds before the tests in force, which signal at 0444". */
export function comparison(
  signal: SlowSignal,
  signals: readonly SlowSignal[],
  label: (i: number) => string,
): string {
  const { from, tests } = signal
  if (tests === null) return 'which the tests in force do not signal'
  const first = firstOf(signals, signal)
  if (first !== signal) return `again, as at ${label(first.from)}`
  const builds = tests - from
  if (builds === 0) return 'as do the tests in force'
  return `${countOf(Math.abs(builds), 'build')} ${builds > 0 ? 'before' : 'after'} the tests in force, which signal at ${label(tests)}`
}

/**
 * Of the stretches on one side that the same signal of the tests belongs to, the first: only that one can be compared
 * with it.
 */
function firstOf(signals: readonly SlowSignal[], signal: SlowSignal): SlowSignal {
  if (signal.tests === null) return signal
  return signals.find(({ side, tests }) => side === signal.side && tests === signal.tests) ?? signal
}

function longestOf(signals: readonly SlowSignal[]): SlowSignal | null {
  let longest: SlowSignal | null = null
  for (const signal of signals) {
    if (longest === null || signal.to - signal.from >= longest.to - longest.from) longest = signal
  }
  return longest
}
