import { useState } from 'preact/hooks'
import type { TrialView } from '../../../server/contract/event-notices.ts'
import { type Problem, problemOf } from '../../data/http.ts'
import { ProblemNotice } from '../notice.tsx'
import { storedName, Who } from '../who.tsx'

type State =
  | { readonly is: 'idle' | 'sending' }
  | { readonly is: 'told'; readonly outcomes: TrialView['outcomes'] }
  | { readonly is: 'failed'; readonly problem: Problem }

/** Sends a trial notice to every receiver, and says what came of each. */
export function NoticeTrial({ ask }: { ask(who: string): Promise<TrialView> }) {
  const [who, setWho] = useState(storedName)
  const [state, setState] = useState<State>({ is: 'idle' })
  const send = async (event: Event) => {
    event.preventDefault()
    setState({ is: 'sending' })
    try {
      setState({ is: 'told', outcomes: (await ask(who.trim())).outcomes })
    } catch (error) {
      setState({ is: 'failed', problem: problemOf(error) })
    }
  }
  return (
    <form class="asking" onSubmit={send}>
      <Who value={who} onChange={setWho} />
      <button type="submit" disabled={state.is === 'sending'}>
        Send a trial notice
      </button>
      <div role="status">
        {state.is === 'sending' && <p class="quiet">Sending …</p>}
        {state.is === 'told' && (
          <ul>
            {state.outcomes.map(({ channel, target, error }) => (
              <li key={`${channel} ${target}`} class={error === null ? undefined : 'said-mark'}>
                {error === null ? `${target}: sent.` : `${target}: not sent. ${error}`}
              </li>
            ))}
          </ul>
        )}
      </div>
      {state.is === 'failed' && <ProblemNotice problem={state.problem} />}
    </form>
  )
}
