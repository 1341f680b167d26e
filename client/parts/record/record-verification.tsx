import { useState } from 'preact/hooks'
import type { RecordVerification } from '../../../server/contract/record.ts'
import { ask, type Problem, problemOf } from '../../data/http.ts'
import { verifyRecordAddress } from '../../data/record-addresses.ts'
import { counted } from '../../words/quantities.ts'
import { ProblemNotice } from '../notice.tsx'

/** Walks the record on request, and says what was found. */
export function VerifyRecord({ onVerified }: { onVerified(verification: RecordVerification): void }) {
  const [expect, setExpect] = useState('')
  const [files, setFiles] = useState(false)
  const [looking, setLooking] = useState(false)
  const [problem, setProblem] = useState<Problem | null>(null)
  const [found, setFound] = useState<RecordVerification | null>(null)
  const verify = async (event: Event) => {
    event.preventDefault()
    setLooking(true)
    setProblem(null)
    try {
      const verification = await ask<RecordVerification>(verifyRecordAddress(expect.trim(), files))
      setFound(verification)
      onVerified(verification)
    } catch (error) {
      setProblem(problemOf(error))
    } finally {
      setLooking(false)
    }
  }
  return (
    <form class="decision" onSubmit={(event) => void verify(event)}>
      <label class="field">
        A head noted earlier, to find out whether the record was cut since (may stay empty)
        <input
          type="text"
          value={expect}
          maxLength={70}
          spellcheck={false}
          onInput={(event) => setExpect(event.currentTarget.value)}
        />
      </label>
      <label>
        <input type="checkbox" checked={files} onChange={(event) => setFiles(event.currentTarget.checked)} />{' '}
        Read the kept files again too, which takes a while
      </label>
      <p class="choices">
        <button type="submit" class="main" disabled={looking}>
          {looking ? 'Walking the record …' : 'Verify the record'}
        </button>
      </p>
      {problem !== null && <ProblemNotice problem={problem} />}
      {found !== null && <Found verification={found} />}
    </form>
  )
}

function Found({ verification }: { verification: RecordVerification }) {
  const { entries, rows, imports, files, faults, faultCount, expected, erased } = verification
  return (
    <div role="status">
      <p>
        {faultCount === 0
          ? `${counted(entries, 'entry', 'entries')}: each is as it was written and in its place.`
          : `${counted(faultCount, 'fault')} in ${counted(entries, 'entry', 'entries')}:`}
      </p>
      {faults.length > 0 && (
        <ul>
          {faults.map(({ what }) => (
            <li key={what}>
              <span class="said-mark">{what}</span>
            </li>
          ))}
        </ul>
      )}
      <p class="quiet">
        {`Compared with them: ${counted(rows, 'row')}, ${counted(imports, 'import')}, ${counted(files, 'kept file')}.`}
        {erased > 0 && ` Something was erased out of ${counted(erased, 'entry', 'entries')}, as others say.`}
        {expected !== null &&
          expected.sequence !== null &&
          ` The head given is entry ${expected.sequence}: nothing before it was cut off or rewritten.`}
      </p>
    </div>
  )
}
