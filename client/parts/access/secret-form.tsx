import type { ComponentChildren } from 'preact'
import { useState } from 'preact/hooks'
import { type Problem, problemOf } from '../../data/http.ts'
import { ProblemNotice } from '../notice.tsx'

interface SecretFormProps {
  /** Words on the button. */
  readonly submit: string
  /** What to do with what the fields hold, by their names. @throws RequestError */
  send(fields: Readonly<Record<string, string>>): Promise<unknown>
  readonly children: ComponentChildren
}

/** A form that is sent as a whole, with what the server says where it will not do. */
export function SecretForm({ submit, send, children }: SecretFormProps) {
  const [problem, setProblem] = useState<Problem | null>(null)
  const [busy, setBusy] = useState(false)
  const go = async (event: SubmitEvent & { currentTarget: HTMLFormElement }) => {
    event.preventDefault()
    if (busy) return
    const form = event.currentTarget
    setBusy(true)
    setProblem(null)
    try {
      await send(Object.fromEntries([...new FormData(form)].map(([name, value]) => [name, String(value)])))
      form.reset()
    } catch (error) {
      setProblem(problemOf(error))
    } finally {
      setBusy(false)
    }
  }
  return (
    <form class="secret" onSubmit={go}>
      {children}
      {problem !== null && <ProblemNotice problem={problem} />}
      <button type="submit" class="main" disabled={busy}>
        {submit}
      </button>
    </form>
  )
}

/** A password that is chosen, with what is asked of it. */
export function NewPassword() {
  return (
    <label class="field">
      New password
      <input
        type="password"
        name="password"
        autocomplete="new-password"
        required
        minLength={12}
        maxLength={200}
        aria-describedby="password-hint"
      />
      <span class="hint" id="password-hint">
        At least 12 characters; a few words of a sentence are easy to keep in mind.
      </span>
    </label>
  )
}
