import type { ImportSummary } from '../../../server/contract/receipt.ts'
import { formatCount } from '../../../src/words/format.ts'
import { recordPage } from '../../data/addresses.ts'
import { timeText } from '../../words/quantities.ts'
import { kindText, verdictText } from '../../words/receipt.ts'

/** Imports, newest first, each with the way to its receipt. */
export function ImportsTable({ imports, caption }: { imports: readonly ImportSummary[]; caption: string }) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard
    <section class="scroll" aria-label={caption} tabIndex={0}>
      <table class="list">
        <caption class="unseen">{caption}</caption>
        <thead>
          <tr>
            <th scope="col">when</th>
            <th scope="col">file</th>
            <th scope="col">what</th>
            <th scope="col">who</th>
            <th scope="col">verdict</th>
            <th scope="col" class="number">
              rows taken
            </th>
            <th scope="col" class="number">
              refused
            </th>
          </tr>
        </thead>
        <tbody>
          {imports.map((receipt) => (
            <tr key={receipt.importId}>
              <td class="time">{timeText(receipt.at)}</td>
              <td>
                <a href={recordPage(receipt.importId)}>{receipt.fileName}</a>
              </td>
              <td>{kindText(receipt.kind)}</td>
              <td>{receipt.who}</td>
              <td class={receipt.verdict === 'refused' || isWithdrawn(receipt) ? 'said-mark' : undefined}>
                {isWithdrawn(receipt) ? 'withdrawn' : verdictText(receipt.verdict)}
              </td>
              <td class="number">{formatCount(receipt.rowsTaken)}</td>
              <td class="number">{formatCount(receipt.rowsRefused)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}

function isWithdrawn({ withdrawn }: ImportSummary): boolean {
  return withdrawn !== undefined && withdrawn !== null
}
