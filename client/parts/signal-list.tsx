import type { ChartView } from '../../server/contract/views.ts'
import { panelWords } from '../../src/figures/control-chart.tsx'

/** The signals of one chart in words, latest first. */
export function SignalList({ view, onOpen }: { view: ChartView; onOpen: (build: string) => void }) {
  const { chart, signalWords } = view
  const panels = new Map(
    [chart.location, chart.movingRange, chart.spread].flatMap((panel) =>
      panel === null ? [] : [[panel.id, panelWords(panel, chart)] as const],
    ),
  )
  if (chart.signals.length === 0) {
    return <p class="quiet">No signal: every point lies inside the limits, and no run breaks a test.</p>
  }
  const entries = chart.signals.map((signal, i) => ({ signal, words: signalWords[i] ?? '' })).reverse()
  return (
    <ul class="signals">
      {entries.map(({ signal, words }) => {
        const first = chart.subgroups[signal.points[0] as number]?.label ?? ''
        const last = chart.subgroups[signal.points.at(-1) as number]?.label ?? ''
        return (
          <li key={`${signal.panel} ${signal.test} ${signal.side} ${first}`}>
            <button type="button" class="plain" onClick={() => onOpen(first)}>
              {first === last ? first : `${first} to ${last}`}
            </button>{' '}
            {words}
            <span class="quiet">, {panels.get(signal.panel)}</span>
          </li>
        )
      })}
    </ul>
  )
}
