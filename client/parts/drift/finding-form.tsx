import { useState } from 'preact/hooks'
import type { FindingView } from '../../../server/contract/decisions.ts'
import type { DriftView } from '../../../server/contract/views.ts'
import {
  FINDING_STATES,
  FINDING_VERIFIED,
  type FindingState,
  type FindingVerified,
} from '../../../src/domain/finding.ts'
import { characteristicTitle } from '../../../src/words/format.ts'
import { writtenAddress } from '../../data/addresses.ts'
import { send } from '../../data/decide.ts'
import { useRevisionSeen } from '../../data/revision-seen.ts'
import { STATE_WORDS, VERIFIED_WORDS } from '../../words/finding-words.ts'
import { DecisionForm } from '../decision-form.tsx'
import { BuildChoice } from './build-choice.tsx'

interface FindingFormProps {
  readonly view: DriftView
  /** What it begins with: the builds of a signal, or a finding that is changed. */
  readonly start: Pick<FindingView, 'characteristics' | 'from' | 'to'> | FindingView
  onClose(): void
}

/** What the engineer found out about a signal, and what was done. */
export function FindingForm({ view, start, onClose }: FindingFormProps) {
  const before = 'number' in start ? start : null
  const [characteristics, setCharacteristics] = useState<readonly string[]>(start.characteristics)
  const [from, setFrom] = useState(start.from)
  const [to, setTo] = useState(start.to)
  const [cause, setCause] = useState(before?.cause ?? '')
  const [action, setAction] = useState(before?.action ?? '')
  const [state, setState] = useState<FindingState>(before?.state ?? 'open')
  const [verified, setVerified] = useState<FindingVerified>(before?.verified ?? 'not yet')
  const revision = useRevisionSeen(before?.revision ?? 0)
  const builds = view.builds.map((build) => build.name)
  const tick = (designator: string, on: boolean) =>
    setCharacteristics(
      on ? [...characteristics, designator] : characteristics.filter((each) => each !== designator),
    )
  return (
    <DecisionForm
      title={before === null ? 'A finding' : `Finding ${before.number}`}
      submit={before === null ? 'Keep the finding' : 'Keep the change'}
      reason={null}
      ready={cause.trim() !== '' && characteristics.length > 0}
      onClose={onClose}
      onStale={revision.see}
      send={({ who }) =>
        send(writtenAddress(view.partNumber, 'findings', view.stage, before?.number ?? null), {
          characteristics,
          from,
          to,
          cause,
          action,
          state,
          verified,
          who,
          ...(before === null ? {} : { revision: revision.seen }),
        })
      }
    >
      <label class="field">
        Cause, or what is being looked into
        <textarea
          rows={2}
          maxLength={4000}
          value={cause}
          onInput={(event) => setCause(event.currentTarget.value)}
        />
      </label>
      <label class="field">
        Action taken or planned
        <textarea
          rows={2}
          maxLength={4000}
          value={action}
          onInput={(event) => setAction(event.currentTarget.value)}
        />
      </label>
      <div class="decide">
        <BuildChoice label="from build" builds={builds} value={from} onPick={setFrom} />
        <BuildChoice label="to build" builds={builds} value={to} onPick={setTo} />
        <label class="field">
          State
          <select value={state} onChange={(event) => setState(event.currentTarget.value as FindingState)}>
            {FINDING_STATES.map((each) => (
              <option key={each} value={each}>
                {STATE_WORDS[each]}
              </option>
            ))}
          </select>
        </label>
        <label class="field">
          Do later builds show that it worked?
          <select
            value={verified}
            onChange={(event) => setVerified(event.currentTarget.value as FindingVerified)}
          >
            {FINDING_VERIFIED.map((each) => (
              <option key={each} value={each}>
                {VERIFIED_WORDS[each]}
              </option>
            ))}
          </select>
        </label>
      </div>
      <fieldset class="ticks">
        <legend>About</legend>
        {view.overview.rows.map(({ characteristic }) => (
          <label key={characteristic.id}>
            <input
              type="checkbox"
              checked={characteristics.includes(characteristic.designator)}
              onChange={(event) => tick(characteristic.designator, event.currentTarget.checked)}
            />
            {characteristicTitle(characteristic)}
          </label>
        ))}
      </fieldset>
      <p class="quiet">
        While it is open, its signals still count as unanswered; once the cause is known or the action done,
        they are answered.
      </p>
    </DecisionForm>
  )
}
