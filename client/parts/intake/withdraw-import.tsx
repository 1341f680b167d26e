import { useState } from 'preact/hooks'
import type { Receipt } from '../../../server/contract/receipt.ts'
import { CALLS } from '../../data/calls.ts'
import { ask, type Problem, problemOf } from '../../data/http.ts'
import { useMay } from '../../data/session.ts'
import { ProblemNotice } from '../notice.tsx'
import { storedName, Who } from '../who.tsx'

interface WithdrawImportProps {
  readonly receipt: Receipt
  onDone(): void
}

/** Takes an import out of all figures, for a reason that stays on record. */
export function WithdrawImport({ receipt, onDone }: WithdrawImportProps) {
  const [who, setWho] = useState(storedName)
  const [reason, setReason] = useState('')
  const [open, setOpen] = useState(false)
  const [problem, setProblem] = useState<Problem | null>(null)
  const may = useMay()
  const { withdrawn, importId } = receipt
  if (withdrawn !== undefined) return null
  if (!may(CALLS.withdraw)) return null
  if (importId === null || (receipt.kind !== 'measurements' && receipt.kind !== 'gauge-study')) return null
  if (!open) {
    return (
      <p class="actions">
        <button type="button" class="plain" onClick={() => setOpen(true)}>
          Withdraw this import
        </button>
      </p>
    )
  }
  return (
    <form
      class="withdraw"
      onSubmit={(event) => {
        event.preventDefault()
        ask(`/api/imports/${importId}/withdraw`, {
          method: 'POST',
          headers: { 'content-type': 'application/json' },
          body: JSON.stringify({ who, reason }),
        }).then(onDone, (error: unknown) => setProblem(problemOf(error)))
      }}
    >
      <p>
        Its measurements will count no more in any figure. They, the file and this receipt stay on record.
      </p>
      <Who value={who} onChange={setWho} />
      <label class="field">
        Reason
        <input
          type="text"
          required
          maxLength={1000}
          value={reason}
          onInput={(event) => setReason(event.currentTarget.value)}
        />
      </label>
      {problem !== null && <ProblemNotice problem={problem} />}
      <p class="actions">
        <button type="submit" disabled={who.trim() === ''}>
          Withdraw it
        </button>
        <button type="button" class="plain" onClick={() => setOpen(false)}>
          Leave it as it is
        </button>
      </p>
    </form>
  )
}
