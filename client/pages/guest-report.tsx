import { useState } from 'preact/hooks'
import type { SessionView } from '../../server/contract/access.ts'
import type { Verification } from '../../server/contract/report.ts'
import { ask, type Problem, problemOf } from '../data/http.ts'
import { reportFileAddress, verifyReportAddress } from '../data/report-addresses.ts'
import { ReportVerification } from '../parts/capability/report-verification.tsx'
import { Caution, ProblemNotice } from '../parts/notice.tsx'
import { useTitle } from '../parts/title.ts'
import { timeText } from '../words/quantities.ts'

/** The one report that a guest may read. */
export function GuestReportPage({ who }: { who: Extract<SessionView['who'], { kind: 'guest' }> }) {
  const { number, title, partNumber, revision, at, who: madeBy } = who.report
  const { headline, grounds } = who.said
  useTitle(title)
  const [verification, setVerification] = useState<Verification | null>(null)
  const [problem, setProblem] = useState<Problem | null>(null)
  const [looking, setLooking] = useState(false)
  const verify = async () => {
    setLooking(true)
    setProblem(null)
    try {
      setVerification(await ask<Verification>(verifyReportAddress(number)))
    } catch (error) {
      setProblem(problemOf(error))
    } finally {
      setLooking(false)
    }
  }
  return (
    <>
      <header class="opening">
        <p class="quiet">{title}</p>
        <h1>{headline}</h1>
        <p class="grounds">{grounds}</p>
        <p class="grounds">
          {`Report ${number} on ${partNumber} revision ${revision}, made by ${madeBy} on ${timeText(at)}. Open to ${who.givenTo} until ${timeText(who.expiresAt)}.`}
        </p>
      </header>
      <p class="actions">
        <a href={reportFileAddress(number, 'pdf', 'a4')} download>
          Save it as PDF, A4
        </a>
        <a href={reportFileAddress(number, 'pdf', 'letter')} download>
          as PDF, US letter
        </a>
        <a href={reportFileAddress(number, 'html', 'a4')} download>
          as HTML
        </a>
      </p>
      <p class="actions">
        <button type="button" disabled={looking} onClick={verify}>
          Does it still follow from the data?
        </button>
        {looking && (
          <span class="quiet" role="status">
            Computing it anew …
          </span>
        )}
      </p>
      {problem !== null && <ProblemNotice problem={problem} />}
      {verification !== null && <ReportVerification verification={verification} />}
      <Caution />
    </>
  )
}
