import type { FindingView } from '../../../server/contract/decisions.ts'
import type { DriftView } from '../../../server/contract/views.ts'
import { characteristicTitle } from '../../../src/words/format.ts'
import { CALLS } from '../../data/calls.ts'
import { findingSpan, STATE_WORDS, VERIFIED_WORDS } from '../../words/finding-words.ts'
import { dayText } from '../../words/quantities.ts'
import { Actions } from '../actions.tsx'
import { FindingForm } from './finding-form.tsx'

interface FindingsListProps {
  readonly view: DriftView
  onOpen(build: string): void
}

/** Every finding of the part number, the latest builds first. */
export function FindingsList({ view, onOpen }: FindingsListProps) {
  if (view.findings.length === 0) return null
  return (
    <section>
      <h2>Findings</h2>
      <ul class="written">
        {view.findings.map((finding) => (
          <li key={finding.number} id={`finding-${finding.number}`}>
            <Finding view={view} finding={finding} onOpen={onOpen} />
          </li>
        ))}
      </ul>
    </section>
  )
}

interface FindingProps extends FindingsListProps {
  readonly finding: FindingView
}

function Finding({ view, finding, onOpen }: FindingProps) {
  const { number, characteristics, cause, action, state, verified, who, at, first, revision } = finding
  const names = characteristics.map((designator) => {
    const row = view.overview.rows.find((each) => each.characteristic.designator === designator)
    return row === undefined ? designator : characteristicTitle(row.characteristic)
  })
  return (
    <>
      <p>
        <span class="said-strong">{`${number}. ${cause}`}</span>
        {action !== '' && ` Action: ${action}`}
      </p>
      <p class="quiet">
        <button type="button" class="plain" onClick={() => onOpen(finding.from)}>
          {findingSpan(finding)}
        </button>
        {`, ${names.join(', ')}. State ${STATE_WORDS[state]}. Shown by later builds: ${VERIFIED_WORDS[verified]}. `}
        {`${first.who}, ${dayText(first.at)}${revision > 1 ? `; changed by ${who}, ${dayText(at)}` : ''}.`}
      </p>
      <Actions
        items={[
          {
            label: 'Change it',
            needs: CALLS.writeFinding,
            about: `finding ${number}`,
            form: (close) => <FindingForm view={view} start={finding} onClose={close} />,
          },
        ]}
      />
    </>
  )
}
