import type { ComponentChildren } from 'preact'
import { useEffect, useId, useRef, useState } from 'preact/hooks'
import { tellDecided } from '../data/decide.ts'
import { type Problem, problemOf, RequestError } from '../data/http.ts'
import { ProblemNotice } from './notice.tsx'
import { storedName, Who } from './who.tsx'

export interface DecisionFormProps {
  /** What is decided, as a heading. */
  readonly title: string
  /** Words on the button that decides. */
  readonly submit: string
  /** What the reason is asked for with; null where the form holds it itself. */
  readonly reason: string | null
  /** Whether what the form holds itself is complete. */
  readonly ready?: boolean
  send(signed: { readonly who: string; readonly reason: string }): Promise<unknown>
  onClose(): void
  /** Somebody else was faster: what the form shows is to be read anew. */
  onStale?(): void
  readonly children?: ComponentChildren
}

/** A decision that goes on record under a name: what it is, why, who; Escape leaves it. */
export function DecisionForm(props: DecisionFormProps) {
  const { title, submit, reason: asked, ready = true, send, onClose, onStale, children } = props
  const [who, setWho] = useState(storedName)
  const [reason, setReason] = useState('')
  const [problem, setProblem] = useState<Problem | null>(null)
  const [busy, setBusy] = useState(false)
  const form = useRef<HTMLFormElement>(null)
  const heading = useId()
  useEffect(() => {
    form.current?.querySelector<HTMLElement>('textarea, select, input')?.focus()
  }, [])
  const missing =
    who.trim() === '' ? 'Give your name.' : asked !== null && reason.trim() === '' ? 'Say why.' : null
  const decide = async (event: Event) => {
    event.preventDefault()
    if (busy) return
    if (missing !== null) {
      setProblem({ what: missing, where: null, next: 'It goes on record with the decision.' })
      return
    }
    setBusy(true)
    setProblem(null)
    try {
      await send({ who: who.trim(), reason: reason.trim() })
      onClose()
      tellDecided()
    } catch (error) {
      setProblem(problemOf(error))
      if (error instanceof RequestError && error.status === 409) {
        tellDecided()
        onStale?.()
      }
    } finally {
      setBusy(false)
    }
  }
  return (
    <form
      ref={form}
      class="decision"
      aria-labelledby={heading}
      onSubmit={decide}
      onKeyDown={(event) => {
        if (event.key !== 'Escape') return
        event.stopPropagation()
        onClose()
      }}
    >
      <p class="decision-title" id={heading}>
        {title}
      </p>
      {children}
      {asked !== null && (
        <label class="field">
          {asked}
          <textarea
            rows={2}
            maxLength={2000}
            value={reason}
            onInput={(event) => setReason(event.currentTarget.value)}
          />
        </label>
      )}
      <div class="decide">
        <Who value={who} onChange={setWho} />
        <button type="submit" class="main" disabled={busy || !ready}>
          {submit}
        </button>
        <button type="button" onClick={onClose}>
          Leave it
        </button>
      </div>
      {problem !== null && <ProblemNotice problem={problem} />}
    </form>
  )
}
