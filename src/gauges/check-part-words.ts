import type { ChartModel } from '../charts/model.ts'
import { capitalise, countOf } from '../words/format.ts'
import type { Sentence } from '../words/sentence.ts'
import { testWords } from '../words/signal.ts'
import { movedAt } from './check-part.ts'

/** What a panel plots beside the readings themselves. */
const PANELS = {
  location: '',
  'moving-range': ' (step from day to day)',
  spread: ' (spread inside the day)',
} as const

/** Whether a gauge stayed where it was, by the chart of its check part. */
export function checkPartWords(
  part: string,
  chart: ChartModel,
): { readonly headline: Sentence; readonly grounds: Sentence } {
  const { subgroups, signals } = chart
  const provisional = chart.phases.some((phase) => phase.provisional)
  const grounds: Sentence = [
    {
      text: `Check part ${part}, ${countOf(subgroups.length, 'day')} from ${subgroups[0]?.label ?? '–'} to ${subgroups.at(-1)?.label ?? '–'}.${provisional ? ' With so few days the limits are provisional.' : ''}`,
    },
    ...signals.slice(0, 3).map((signal) => ({
      text: ` ${capitalise(testWords(signal))}${PANELS[signal.panel]}, from ${subgroups[signal.points[0] ?? 0]?.label ?? '–'}.`,
    })),
  ]
  const moved = movedAt(chart)
  if (moved === null) {
    return {
      headline: [
        { text: 'The gauge stayed where it was', role: 'strong' },
        { text: ' as far as its check part shows.' },
      ],
      grounds,
    }
  }
  return {
    headline: [
      { text: 'The gauge ' },
      { text: `moved at ${moved}`, role: 'mark' },
      { text: ': what was measured from then on is to be looked at again before the process is blamed.' },
    ],
    grounds,
  }
}
