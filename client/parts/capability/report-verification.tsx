import type { ReportChange, Verification } from '../../../server/contract/report.ts'
import { counted } from '../../words/quantities.ts'

/** Whether a report still follows from the data, and what changed since it was made. */
export function ReportVerification({ verification }: { verification: Verification }) {
  const { verdict, said, grounds, changes, changeCount, report } = verification
  return (
    <section class="verification" aria-live="polite">
      <h2>{report === null ? 'The file' : `Report ${report.number}: ${report.title}`}</h2>
      <p class={verdict === 'follows' ? undefined : 'said-mark'}>{said}</p>
      {grounds.map((ground) => (
        <p key={ground} class="quiet">
          {ground}
        </p>
      ))}
      {changes.length > 0 && <Changes changes={changes} />}
      {changeCount > changes.length && (
        <p class="quiet">{`And ${counted(changeCount - changes.length, 'more', 'more')}.`}</p>
      )}
    </section>
  )
}

function Changes({ changes }: { changes: readonly ReportChange[] }) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard
    <section class="scroll" aria-label="What changed since" tabIndex={0}>
      <table class="list">
        <caption class="unseen">What changed since</caption>
        <thead>
          <tr>
            <th scope="col">where</th>
            <th scope="col">what</th>
            <th scope="col">in the report</th>
            <th scope="col">by the data now</th>
          </tr>
        </thead>
        <tbody>
          {changes.map(({ where, what, was, is }, i) => (
            // Rows have no name of their own and never change places.
            <tr key={i}>
              <td>{where}</td>
              <td>{what}</td>
              <td>{was ?? 'not there'}</td>
              <td>{is ?? 'not there'}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}
