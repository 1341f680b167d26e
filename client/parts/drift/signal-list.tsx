import type { ChartView, DriftView, EventsView, EventView } from '../../../server/contract/views.ts'
import { hasLimits } from '../../../src/charts/has-limits.ts'
import { type Stretch, stretchesOf } from '../../../src/charts/stretches.ts'
import { panelWords } from '../../../src/figures/control-chart.tsx'
import { formatCount, formatNumber, listed } from '../../../src/words/format.ts'
import { signalChangeWords } from '../../../src/words/signal-change-words.ts'
import { CALLS } from '../../data/calls.ts'
import { useOpen } from '../../data/query.ts'
import { counted } from '../../words/quantities.ts'
import { Actions } from '../actions.tsx'
import { FindingForm } from './finding-form.tsx'

/** Stretches that are listed before the earlier ones are asked for: a long record has hundreds. */
const LATEST = 20

/** Signals of one stretch that are named before the rest is counted. */
const NAMED = 4

interface SignalListProps {
  readonly view: ChartView
  readonly drift: DriftView
  /** Null while they are being read. */
  readonly events: EventsView | null
  onOpen(build: string): void
}

/** The signals of one chart in words, latest first; what overlaps stands in one line. */
export function SignalList({ view, drift, events, onOpen }: SignalListProps) {
  const { chart } = view
  const [all, setAll] = useOpen('all-signals')
  if (chart.signals.length === 0) {
    return (
      <p class="quiet">
        {hasLimits(chart)
          ? 'No signal: every point lies inside the limits, and no run breaks a test.'
          : 'No signal, since there are no limits yet.'}
      </p>
    )
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
            {events !== null && <span class="quiet">{`${changeWords(view, drift, events, stretch)} `}</span>}
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

function stretchWords(
  { chart, signalWords, falseAlarmEvery }: ChartView,
  { lead, signals }: Stretch,
): string {
  const places = [lead, ...signals.filter((signal) => signal !== lead)].map((signal) =>
    chart.signals.indexOf(signal),
  )
  const named = new Map(places.map((i) => [signalWords[i] ?? '', falseAlarmEvery[i] as number]))
  const more = named.size - NAMED
  const words = [...named.keys()].slice(0, NAMED).join('; ')
  const every = [...named.values()].slice(0, NAMED).map((builds) => formatCount(Math.round(builds)))
  return `${words}${more > 0 ? `; and ${more} more, all in the table of figures` : ''}. Where nothing changes, ${every.length === 1 ? 'that test alarms' : 'these tests alarm'} once in ${listed(every)} builds${every.length === 1 ? '' : ', each by itself'}`
}

/** The change that a stretch belongs to, or that it stands alone. */
function changeWords(view: ChartView, drift: DriftView, events: EventsView, stretch: Stretch): string {
  const { characteristic } = view
  const event = eventOf(view, drift, events, stretch)
  if (event === null) {
    const expected = formatNumber(events.expectedByChance, events.expectedByChance < 10 ? 1 : 0)
    return `It amounts to no event: where nothing changes, all charts of this part number together give about ${expected} such signals in ${counted(drift.builds.length, 'build')}.`
  }
  return signalChangeWords(event, characteristic, (position) => drift.builds[position]?.name ?? '')
}

/** The event of this characteristic that has most builds in common with a stretch; null where none has any. */
function eventOf(view: ChartView, drift: DriftView, events: EventsView, stretch: Stretch): EventView | null {
  const places = new Map(drift.builds.map((build, i) => [build.id, i]))
  const [first, last] = [stretch.first, stretch.last].map(
    (i) => places.get(view.chart.subgroups[i]?.buildId ?? -1) ?? 0,
  ) as [number, number]
  const ofScatter = stretch.lead.panel === 'spread'
  let best: { readonly event: EventView; readonly common: number } | null = null
  for (const event of events.events) {
    const own = event.members.find(({ designator }) => designator === view.characteristic.designator)
    if (own === undefined || (own.shift === null) !== ofScatter) continue
    const common = Math.min(last, event.to) - Math.max(first, event.plausible[0] ?? event.from) + 1
    if (common > 0 && common > (best?.common ?? 0)) best = { event, common }
  }
  return best?.event ?? null
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
