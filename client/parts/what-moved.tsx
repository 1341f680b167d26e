import type { DriftView } from '../../server/contract/views.ts'
import { sortRows } from '../../src/figures/strip-layout.ts'
import type { OverviewRow } from '../../src/overview/overview.ts'
import { characteristicTitle } from '../../src/words/format.ts'

/** Every characteristic with a signal, the one to look at first on top. */
export function WhatMoved({ view, onPick }: { view: DriftView; onPick: (row: OverviewRow) => void }) {
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
                <td>{row.moved === null ? row.worst?.build : view.builds[row.moved.at]?.name}</td>
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

/** How far findings answer the signals of a characteristic. */
function answeredWords({ answers }: OverviewRow): string {
  const numbers = [...new Set(answers.filter((answer) => answer !== null))].sort((a, b) => a - b)
  if (numbers.length === 0) return 'unanswered'
  return `${answers.includes(null) ? 'some answered' : 'answered'} by ${numbers.join(', ')}`
}
