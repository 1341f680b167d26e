import type { ComponentChildren } from 'preact'
import type { DriftView, EventsView, EventView, TimelineBuild } from '../../../server/contract/views.ts'
import type { Axis } from '../../../src/domain/characteristic.ts'
import { characteristicTitle, formatNumber } from '../../../src/words/format.ts'
import { conditionChange } from '../../../src/words/signal-change-words.ts'
import { driftPage } from '../../data/addresses.ts'
import { shrinkagePage } from '../../data/shrinkage-addresses.ts'
import { unitText } from '../../words/quantities.ts'
import { Disclosure } from '../disclosure.tsx'
import { Words } from '../sentence.tsx'
import { EventFinding } from './event-finding.tsx'

/** Everything that happened besides what the page opens with: what stands and waits for an answer, then the rest. */
export function EventsList({
  view,
  events,
  opening,
}: {
  view: DriftView
  events: EventsView
  /** Position of the event that the page opens with; null where it opens with none. */
  opening: number | null
}) {
  const others = events.events.filter((_, i) => i !== opening)
  const waiting = others.filter((event) => event.standing && event.answer === null)
  const past = others.filter((event) => !waiting.includes(event))
  return (
    <section class="events" aria-label="What happened">
      {waiting.length > 0 && (
        <ul>
          {waiting.map((event) => (
            <EventItem key={keyOf(event)} event={event} view={view} />
          ))}
        </ul>
      )}
      {past.length > 0 && (
        <Disclosure name="past" title={`Earlier, or answered: ${past.length}`}>
          <ul>
            {past.map((event) => (
              <EventItem key={keyOf(event)} event={event} view={view} />
            ))}
          </ul>
        </Disclosure>
      )}
    </section>
  )
}

function EventItem({ event, view }: { event: EventView; view: DriftView }) {
  const [first] = event.members
  return (
    <li>
      <p>
        <Words sentence={event.sentence} />
      </p>
      <EventGrounds event={event} />
      <EventFinding view={view} event={event} />
      <Disclosure
        name={`size-${event.kind}-${view.builds[event.from]?.name}-${first?.designator}`}
        title={SIZE_TITLE}
      >
        <EventFigures event={event} builds={view.builds} />
      </Disclosure>
      {first !== undefined && (
        <p class="actions">
          {event.members.map((member) => (
            <a key={member.designator} href={driftPage(view.partNumber, member.designator)}>
              {characteristicTitle(member)}
            </a>
          ))}
          <EventFactor view={view} event={event} />
        </p>
      )}
    </li>
  )
}

/** What changed at that moment, what is to be expected, and which finding answers it. */
export function EventGrounds({ event, children }: { event: EventView; children?: ComponentChildren }) {
  return (
    <p class="grounds">
      <Words sentence={event.grounds} />{' '}
      {event.forecast !== null && <Words sentence={event.forecast.words} />}
      {event.answer !== null && ` Answered by finding ${event.answer}.`} {children}
    </p>
  )
}

/** What opens the figures of an event. */
export const SIZE_TITLE = 'How large, and what accounts for it'

/** Where an event moved the sizes of one axis: the way to what that means for its scale factor. */
export function EventFactor({ event, view }: { event: EventView; view: DriftView }) {
  const axis = axisOf(event, view)
  if (axis === null || view.stage !== 'sintered' || !event.standing) return null
  return (
    <a href={`${shrinkagePage(view.partNumber)}?axis=${axis}`}>{`What it means for scale factor ${axis}`}</a>
  )
}

/** The axis that the moved members share; null where they do not, or where nothing moved. */
function axisOf({ members }: EventView, { overview }: DriftView): Axis | null {
  const moved = new Set(members.filter(({ shift }) => shift !== null).map(({ designator }) => designator))
  const axes = new Set(
    overview.rows.flatMap(({ characteristic: { designator, axis } }) =>
      moved.has(designator) && axis !== null ? [axis] : [],
    ),
  )
  return axes.size === 1 ? ([...axes][0] ?? null) : null
}

/** The members of an event with the size of what they show: the figures behind its sentence. */
export function EventFigures({ event, builds }: { event: EventView; builds: readonly TimelineBuild[] }) {
  const decimals = (size: number) => Math.max(0, 2 - Math.floor(Math.log10(Math.abs(size) || 1)))
  const interval = (from: number, to: number, digits: number) =>
    `${formatNumber(from, digits)} to ${formatNumber(to, digits)}`
  return (
    <>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard */}
      <section class="scroll" aria-label="Size of the change by characteristic" tabIndex={0}>
        <table class="list">
          <thead>
            <tr>
              <th scope="col">characteristic</th>
              <th scope="col" class="number">
                change
              </th>
              <th scope="col" class="number">
                95 % interval
              </th>
              <th scope="col" class="number">
                in %
              </th>
            </tr>
          </thead>
          <tbody>
            {event.members.map(({ shift, percent, scatter, ...member }) => {
              const size = shift ?? scatter
              const digits = size === null ? 0 : Math.min(6, decimals(size.value))
              const unit = shift === null ? ' times the scatter' : ` ${unitText(member.unit)}`
              return (
                <tr key={member.designator}>
                  <td>{characteristicTitle(member)}</td>
                  <td class="number">{size === null ? '–' : `${formatNumber(size.value, digits)}${unit}`}</td>
                  <td class="number">{size === null ? '–' : interval(size.lower, size.upper, digits)}</td>
                  <td class="number">{percent === null ? '–' : formatNumber(percent.value, 3)}</td>
                </tr>
              )
            })}
          </tbody>
        </table>
      </section>
      <EventConditions event={event} builds={builds} />
    </>
  )
}

/** What changed where the event may have begun, by how much of it each accounts for. */
function EventConditions({ event, builds }: { event: EventView; builds: readonly TimelineBuild[] }) {
  if (event.conditions.length === 0) return <p class="quiet">Nothing recorded changed there.</p>
  return (
    <>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard */}
      <section class="scroll" aria-label="What changed there" tabIndex={0}>
        <table class="list">
          <thead>
            <tr>
              <th scope="col">what changed there</th>
              <th scope="col">from build</th>
              <th scope="col" class="number">
                accounts for
              </th>
            </tr>
          </thead>
          <tbody>
            {event.conditions.map((ranked) => (
              <tr key={ranked.condition}>
                <td>{conditionChange(ranked)}</td>
                <td>{builds[ranked.at]?.name ?? ''}</td>
                <td class="number">{`${Math.round(100 * ranked.share)} %`}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      <p class="quiet">
        Shares may overlap and add to more than 100 %. That something changed at the same time is no proof.
      </p>
    </>
  )
}

function keyOf(event: EventView): string {
  return `${event.kind} ${event.from} ${event.members.map(({ designator }) => designator).join()}`
}
