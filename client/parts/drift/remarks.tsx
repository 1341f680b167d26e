import { useState } from 'preact/hooks'
import type { RemarkView } from '../../../server/contract/decisions.ts'
import type { DriftView } from '../../../server/contract/views.ts'
import { writtenAddress } from '../../data/addresses.ts'
import { CALLS } from '../../data/calls.ts'
import { send } from '../../data/decide.ts'
import { useRevisionSeen } from '../../data/revision-seen.ts'
import { dayText } from '../../words/quantities.ts'
import { Actions } from '../actions.tsx'
import { DecisionForm } from '../decision-form.tsx'

interface RemarksListProps {
  readonly view: DriftView
  onOpen(build: string): void
}

/** What people noted at builds, in the order of the timeline. */
export function RemarksList({ view, onOpen }: RemarksListProps) {
  if (view.remarks.length === 0) return null
  return (
    <section>
      <h2>Remarks</h2>
      <ul class="written">
        {view.remarks.map((remark) => (
          <li key={remark.number}>
            <button type="button" class="plain" onClick={() => onOpen(remark.build)}>
              {`build ${remark.build}`}
            </button>
            {`: ${remark.text} `}
            <span class="quiet">{`${remark.who}, ${dayText(remark.at)} `}</span>
            <Actions
              items={[
                {
                  label: 'Change it',
                  needs: CALLS.writeRemark,
                  about: `remark at ${remark.build}`,
                  form: (close) => (
                    <RemarkForm view={view} build={remark.build} before={remark} onClose={close} />
                  ),
                },
                {
                  label: 'Take it back',
                  needs: CALLS.writeRemark,
                  about: `remark at ${remark.build}`,
                  form: (close) => (
                    <DecisionForm
                      title="The remark goes from the timeline; it stays on record."
                      submit="Take it back"
                      reason={null}
                      onClose={close}
                      send={({ who }) =>
                        sendRemark(view, remark, { revision: remark.revision, text: null, who })
                      }
                    />
                  ),
                },
              ]}
            />
          </li>
        ))}
      </ul>
    </section>
  )
}

interface RemarkFormProps {
  readonly view: Pick<DriftView, 'partNumber' | 'stage'>
  readonly build: string
  /** The remark that is changed; null for a new one. */
  readonly before: RemarkView | null
  onClose(): void
}

export function RemarkForm({ view, build, before, onClose }: RemarkFormProps) {
  const [text, setText] = useState(before?.text ?? '')
  const revision = useRevisionSeen(before?.revision ?? 0)
  return (
    <DecisionForm
      title={`A remark at build ${build}`}
      submit={before === null ? 'Keep the remark' : 'Keep the change'}
      reason={null}
      ready={text.trim() !== ''}
      onClose={onClose}
      onStale={revision.see}
      send={({ who }) =>
        sendRemark(
          view,
          before,
          before === null ? { build, text, who } : { revision: revision.seen, text, who },
        )
      }
    >
      <label class="field">
        What happened, or what to remember
        <textarea
          rows={2}
          maxLength={2000}
          value={text}
          onInput={(event) => setText(event.currentTarget.value)}
        />
      </label>
    </DecisionForm>
  )
}

function sendRemark(
  { partNumber, stage }: Pick<DriftView, 'partNumber' | 'stage'>,
  before: RemarkView | null,
  body: unknown,
): Promise<unknown> {
  return send(writtenAddress(partNumber, 'remarks', stage, before?.number ?? null), body)
}
