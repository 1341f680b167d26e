import type { ChartView, DriftView } from '../../server/contract/views.ts'
import { type Stretch, stretchesOf } from '../../src/charts/stretches.ts'
import { panelWords } from '../../src/figures/control-chart.tsx'
import { CALLS } from '../data/calls.ts'
import { useOpen } from '../data/query.ts'
import { counted } from '../words/quantities.ts'
import { Actions } from './actions.tsx'
import { FindingForm } from './finding-form.tsx'

/** Stretches that are listed before the earlier ones are asked for: a long record has hundreds. */
const LATEST = 20

/** Signals of one stretch that are named before the rest is counted. */
const NAMED = 4

export interface SignalListProps {
  readonly view: ChartView
  readonly drift: DriftView
  onOpen(build: string): void
}

/** The signals of one chart in words, latest first; what overlaps stands in one line. */
export function SignalList({ view, drift, onOpen }: SignalListProps) {
  const { chart } = view
  const [all, setAll] = useOpen('all-signals')
  if (chart.signals.length === 0) {
    return <p class="quiet">No signal: every point lies inside the limits, and no run breaks a test.</p>
  }
  const panels = new Map(
    [chart.location, chart.movingRange, chart.spread].flatMap((panel) =>
      panel === null ? [] : [[panel.id, panelWords(panel, chart)] as const],
    ),
  )
  const label = (i: number) => chart.subgroups[i]?.label ?? ''
  const stretches = stretchesOf(chart.signals).reverse()
  const earlier = stretches.length - LATEST
  return (
    <>
      <ul class="signals">
        {stretches.slice(0, all ? undefined : LATEST).map((stretch) => (
          <li key={`${stretch.lead.panel} ${stretch.lead.side} ${stretch.first}`}>
            <button type="button" class="plain" onClick={() => onOpen(label(stretch.first))}>
              {stretch.first === stretch.last
                ? label(stretch.first)
                : `${label(stretch.first)} to ${label(stretch.last)}`}
            </button>
            {`, ${panels.get(stretch.lead.panel)}: ${stretchWords(view, stretch)}${answeredWords(view, stretch)}${gaugeWords(view, stretch)} `}
            <Actions
              items={[
                {
                  label: 'Write a finding',
                  needs: CALLS.writeFinding,
                  about: `${panels.get(stretch.lead.panel)}, ${label(stretch.first)}`,
                  form: (close) => (
                    <FindingForm
                      view={drift}
                      start={{
                        characteristics: [view.characteristic.designator],
                        from: label(stretch.first),
                        to: label(stretch.last),
                      }}
                      onClose={close}
                    />
                  ),
                },
              ]}
            />
          </li>
        ))}
      </ul>
      {earlier > 0 && (
        <button type="button" class="plain" aria-expanded={all} onClick={() => setAll(!all)}>
          {all
            ? `Leave out the ${counted(earlier, 'earlier one')}`
            : `Show ${counted(earlier, 'earlier one')}`}
        </button>
      )}
    </>
  )
}

function stretchWords({ chart, signalWords }: ChartView, { lead, signals }: Stretch): string {
  const others = signals.filter((signal) => signal !== lead)
  const words = [lead, ...others].map((signal) => signalWords[chart.signals.indexOf(signal)] ?? '')
  const named = [...new Set(words)]
  const more = named.length - NAMED
  return (
    named.slice(0, NAMED).join('; ') + (more > 0 ? `; and ${more} more, all in the table of figures` : '')
  )
}

/** What a change of gauge where the stretch begins says of it. */
function gaugeWords({ chart, gaugeWords: words }: ChartView, { first, signals }: Stretch): string {
  const own = signals.find((signal) => signal.points[0] === first)
  const said = own === undefined ? null : (words[chart.signals.indexOf(own)] ?? null)
  return said === null ? '' : ` ${said}`
}

/** By which findings the signals of a stretch are answered, if all of them are. */
function answeredWords({ chart, answers }: ChartView, { signals }: Stretch): string {
  const numbers = signals.map((signal) => answers[chart.signals.indexOf(signal)] ?? null)
  if (numbers.includes(null)) return '.'
  const distinct = [...new Set(numbers)]
  return `. Answered by finding${distinct.length === 1 ? '' : 's'} ${distinct.join(', ')}.`
}
