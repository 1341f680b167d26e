import type { DriftView, EventsView } from '../../../server/contract/views.ts'
import { sortRows } from '../../../src/figures/strip-layout.ts'
import type { OverviewRow } from '../../../src/overview/overview.ts'
import { characteristicTitle } from '../../../src/words/format.ts'
import { changeOf } from '../../data/drift-state.ts'

/** Every characteristic with a signal, the one to look at first on top. */
export function WhatMoved({
  view,
  events,
  onPick,
}: {
  view: DriftView
  /** Null while they are being read. */
  events: EventsView | null
  onPick: (row: OverviewRow) => void
}) {
  const rows = sortRows(view.overview.rows, 'worst').filter((row) => row.worst !== null)
  if (rows.length === 0) return null
  return (
    <section>
      <h2>What moved, worst first</h2>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard */}
      <section class="scroll" aria-label="What moved, worst first" tabIndex={0}>
        <table class="list">
          <thead>
            <tr>
              <th scope="col">characteristic</th>
              <th scope="col">axis</th>
              <th scope="col">from build</th>
              <th scope="col">what</th>
              <th scope="col">finding</th>
            </tr>
          </thead>
          <tbody>
            {rows.map((row) => (
              <tr key={row.characteristic.id}>
                <td>
                  <button type="button" class="plain" onClick={() => onPick(row)}>
                    {`${characteristicTitle(row.characteristic)}`}
                  </button>
                </td>
                <td>{row.characteristic.axis ?? '–'}</td>
                <td>{firstBuild(view, events, row)}</td>
                <td>{row.worst?.words}</td>
                <td>{answeredWords(row)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
    </section>
  )
}

/** Where the event that stands for a characteristic began or, where none does, its worst signal. */
function firstBuild(view: DriftView, events: EventsView | null, { characteristic, worst }: OverviewRow) {
  const change = changeOf(events, characteristic.designator)
  return change === null ? worst?.build : view.builds[change.event.from]?.name
}

/** How far findings answer the signals of a characteristic. */
function answeredWords({ answers }: OverviewRow): string {
  const numbers = [...new Set(answers.filter((answer) => answer !== null))].sort((a, b) => a - b)
  if (numbers.length === 0) return 'unanswered'
  return `${answers.includes(null) ? 'some answered' : 'answered'} by ${numbers.join(', ')}`
}
