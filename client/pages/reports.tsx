import { useState } from 'preact/hooks'
import type { ReportSummary, ReportsView, Verification } from '../../server/contract/report.ts'
import { capitalise, countWord } from '../../src/words/format.ts'
import { capabilityPage } from '../data/addresses.ts'
import { CALLS } from '../data/calls.ts'
import { ask, type Problem, problemOf } from '../data/http.ts'
import { reportRecordPage } from '../data/record-addresses.ts'
import { reportFileAddress, verifyReportAddress } from '../data/report-addresses.ts'
import { useResource } from '../data/resource.ts'
import { useMay } from '../data/session.ts'
import { GuestLinks } from '../parts/capability/guest-links.tsx'
import { ReportVerification } from '../parts/capability/report-verification.tsx'
import { ProblemNotice, Reading } from '../parts/notice.tsx'
import { useTitle } from '../parts/title.ts'
import { timeText } from '../words/quantities.ts'

type State =
  | { readonly is: 'idle' }
  | { readonly is: 'looking' }
  | { readonly is: 'told'; readonly verification: Verification }
  | { readonly is: 'failed'; readonly problem: Problem }

/** Reports made, and whether they still follow from the data. */
export function ReportsPage() {
  useTitle('Reports')
  const resource = useResource<ReportsView>('/api/reports')
  const [state, setState] = useState<State>({ is: 'idle' })
  const [guests, setGuests] = useState<number | null>(null)
  const mayInvite = useMay()(CALLS.inviteGuests)
  const reports = resource.value?.reports ?? null

  const verify = async (address: string, init?: RequestInit) => {
    setState({ is: 'looking' })
    try {
      setState({ is: 'told', verification: await ask<Verification>(address, init) })
    } catch (error) {
      setState({ is: 'failed', problem: problemOf(error) })
    }
  }

  return (
    <>
      <p class="back">
        <a href="/record">The record</a>
      </p>
      <Reading resource={resource} what="the reports" />
      {reports !== null && (
        <>
          <header class="opening">
            <h1>
              {reports.length === 0
                ? 'No report has been made yet.'
                : `${capitalise(countWord(reports.length))} ${reports.length === 1 ? 'report' : 'reports'} on record.`}
            </h1>
            <p class="grounds">
              A report is made on the page Capability of its part number. Verifying computes everything in it
              anew and says whether it still follows from the data.
            </p>
          </header>
          <label class="field">
            Verify a file: PDF, HTML or JSON
            <input
              type="file"
              accept=".pdf,.html,.json"
              onChange={(event) => {
                const file = event.currentTarget.files?.[0]
                if (file !== undefined) void verify('/api/reports/verify', { method: 'POST', body: file })
              }}
            />
          </label>
          {state.is === 'looking' && (
            <p class="quiet" role="status">
              Computing it anew …
            </p>
          )}
          {state.is === 'failed' && <ProblemNotice problem={state.problem} />}
          {state.is === 'told' && <ReportVerification verification={state.verification} />}
          {guests !== null && <GuestLinks key={guests} report={guests} onClose={() => setGuests(null)} />}
          {reports.length > 0 && (
            <ReportTable
              reports={reports}
              onVerify={(number) => void verify(verifyReportAddress(number))}
              onGuests={mayInvite ? setGuests : null}
            />
          )}
        </>
      )}
    </>
  )
}

interface ReportTableProps {
  readonly reports: readonly ReportSummary[]
  onVerify(number: number): void
  /** Null where the reader may give no links. */
  readonly onGuests: ((report: number) => void) | null
}

function ReportTable({ reports, onVerify, onGuests }: ReportTableProps) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard
    <section class="scroll" aria-label="Reports, newest first" tabIndex={0}>
      <table class="list">
        <caption class="unseen">Reports, newest first</caption>
        <thead>
          <tr>
            <th scope="col" class="number">
              report
            </th>
            <th scope="col">title</th>
            <th scope="col">part number</th>
            <th scope="col">made</th>
            <th scope="col">by</th>
            <th scope="col">fingerprint</th>
            <th scope="col">file</th>
            <th scope="col">does it still follow?</th>
            {onGuests !== null && <th scope="col">guests</th>}
          </tr>
        </thead>
        <tbody>
          {reports.map(({ number, title, partNumber, revision, at, who, fingerprint }) => (
            <tr key={number}>
              <td class="number">{number}</td>
              <td>
                <a href={reportRecordPage(number)} title="The entries that shaped it">
                  {title}
                </a>
              </td>
              <td>
                <a
                  href={capabilityPage({ number: partNumber, revision })}
                >{`${partNumber} rev ${revision}`}</a>
              </td>
              <td class="time">{timeText(at)}</td>
              <td>{who}</td>
              <td title={fingerprint}>{fingerprint.slice(0, 16)}</td>
              <td>
                <a href={reportFileAddress(number, 'pdf', 'a4')} download>
                  PDF, A4
                </a>
                {', '}
                <a href={reportFileAddress(number, 'pdf', 'letter')} download>
                  letter
                </a>
                {', '}
                <a href={reportFileAddress(number, 'html', 'a4')} download>
                  HTML
                </a>
              </td>
              <td>
                <button type="button" class="plain" onClick={() => onVerify(number)}>
                  {`Verify report ${number}`}
                </button>
              </td>
              {onGuests !== null && (
                <td>
                  <button
                    type="button"
                    class="plain"
                    aria-label={`Links for guests, report ${number}`}
                    onClick={() => onGuests(number)}
                  >
                    Links for guests
                  </button>
                </td>
              )}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}
