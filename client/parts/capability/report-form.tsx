import { useEffect, useRef, useState } from 'preact/hooks'
import type { ReportSummary } from '../../../server/contract/report.ts'
import type { CapabilityView } from '../../../server/contract/views.ts'
import { formatNumber } from '../../../src/words/format.ts'
import { capabilityState } from '../../data/capability-state.ts'
import { askFile, type Problem, problemOf } from '../../data/http.ts'
import { useQuery } from '../../data/query.ts'
import { REPORTS_PAGE, reportFileAddress } from '../../data/report-addresses.ts'
import { orderReport } from '../../data/report-order.ts'
import { download } from '../../save/download.ts'
import { Choice } from '../choice.tsx'
import { ProblemNotice } from '../notice.tsx'
import { TextField } from '../text-field.tsx'
import { storedName, Who } from '../who.tsx'

type State =
  | { readonly is: 'asked' }
  | { readonly is: 'making'; readonly done: number; readonly all: number }
  | { readonly is: 'made'; readonly report: ReportSummary }
  | { readonly is: 'failed'; readonly problem: Problem }

/** Asks for a report of what the page shows, has it made, and offers its files. */
export function ReportForm({ view }: { view: CapabilityView }) {
  const { partNumber, stage, builds } = view
  const { query } = useQuery()
  const { required, confidence } = capabilityState(query)
  const [who, setWho] = useState(storedName)
  const [from, setFrom] = useState(builds?.first ?? '')
  const [to, setTo] = useState(builds?.last ?? '')
  const [title, setTitle] = useState('')
  const [paper, setPaper] = useState('a4')
  const [logo, setLogo] = useState<File | null>(null)
  const [state, setState] = useState<State>({ is: 'asked' })
  const stop = useRef<AbortController | null>(null)
  useEffect(() => () => stop.current?.abort(), [])
  useEffect(() => {
    setFrom(builds?.first ?? '')
    setTo(builds?.last ?? '')
  }, [builds?.first, builds?.last])

  const make = async () => {
    const controller = new AbortController()
    stop.current = controller
    setState({ is: 'making', done: 0, all: 0 })
    try {
      const order = {
        who: who.trim(),
        stage,
        required: required ?? undefined,
        confidence: confidence ?? undefined,
        from: from.trim(),
        to: to.trim(),
        title: title.trim() || undefined,
      }
      const report = await orderReport(partNumber, order, controller.signal, (done, all) =>
        setState({ is: 'making', done, all }),
      )
      setState({ is: 'made', report })
    } catch (error) {
      if (!controller.signal.aborted) setState({ is: 'failed', problem: problemOf(error) })
    }
  }

  return (
    <form
      class="report-form"
      onSubmit={(event) => {
        event.preventDefault()
        void make()
      }}
    >
      <p>
        {`Of what this page shows: ${stage} parts, judged by ${required === null ? 'what the customer asks' : `Ppk ${formatNumber(required, 2)} for all`}. The report gets a number, is kept on record, and can be verified against the data at any time. Open signals and whatever is left out are always in it.`}
      </p>
      <div class="controls">
        <TextField label="From build" value={from} onChange={setFrom} required />
        <TextField label="To build" value={to} onChange={setTo} required />
        <TextField label="Title, if it shall have its own" value={title} onChange={setTitle} />
        <label class="field">
          Logo for the PDF, if any: PNG or JPEG
          <input
            type="file"
            accept="image/png,image/jpeg"
            onChange={(event) => setLogo(event.currentTarget.files?.[0] ?? null)}
          />
        </label>
        <Who value={who} onChange={setWho} />
        <Choice
          legend="Paper"
          name="report-paper"
          value={paper}
          options={[
            { value: 'a4', text: 'A4' },
            { value: 'letter', text: 'US letter' },
          ]}
          onPick={setPaper}
        />
        <button type="submit" class="main" disabled={state.is === 'making' || who.trim() === ''}>
          Make the report
        </button>
      </div>
      <Outcome state={state} paper={paper} logo={logo} />
    </form>
  )
}

const FORMATS = [
  ['pdf', 'as PDF'],
  ['html', 'as HTML'],
  ['xlsx', 'the figures as XLSX'],
  ['csv', 'the figures as CSV'],
  ['json', 'the data as JSON'],
] as const

function Outcome({ state, paper, logo }: { state: State; paper: string; logo: File | null }) {
  switch (state.is) {
    case 'asked':
      return null
    case 'failed':
      return <ProblemNotice problem={state.problem} />
    case 'making':
      return (
        <p class="quiet" role="status">
          {state.all === 0
            ? 'Making the report …'
            : `Making the report: ${state.done} of ${state.all} characteristics.`}
        </p>
      )
    case 'made':
      return (
        <div role="status">
          <p>
            {`Report ${state.report.number} is on record. `}
            <a href={REPORTS_PAGE}>All reports</a>
          </p>
          <ReportFiles number={state.report.number} paper={paper} logo={logo} />
        </div>
      )
  }
}

interface ReportFilesProps {
  readonly number: number
  readonly paper: string
  /** For the head of the PDF; null for none. */
  readonly logo: File | null
}

/** The ways to save a report. */
function ReportFiles({ number, paper, logo }: ReportFilesProps) {
  const [problem, setProblem] = useState<Problem | null>(null)
  useEffect(() => setProblem(null), [logo])
  // A logo has to be sent, which a link cannot do.
  const saveWithLogo = async (address: string) => {
    setProblem(null)
    try {
      const file = await askFile(address, { method: 'POST', body: logo })
      download(file.name, file)
    } catch (error) {
      setProblem(problemOf(error))
    }
  }
  return (
    <>
      <p class="actions">
        {FORMATS.map(([format, words]) => {
          const address = reportFileAddress(number, format, paper)
          const text = `Save ${words}`
          return format === 'pdf' && logo !== null ? (
            <button key={format} type="button" class="plain" onClick={() => void saveWithLogo(address)}>
              {text}
            </button>
          ) : (
            <a key={format} href={address} download>
              {text}
            </a>
          )
        })}
      </p>
      {problem !== null && <ProblemNotice problem={problem} />}
    </>
  )
}
