import { useState } from 'preact/hooks'
import type { Doubt, ImportChoices } from '../../../server/contract/receipt.ts'
import { lineAddress } from '../../data/addresses.ts'
import { doubtChoices, doubtKey } from '../../data/intake-answers.ts'
import { findPartPage } from '../../data/part-addresses.ts'
import { counted } from '../../words/quantities.ts'
import { type FileAtHand, SourceRowsView } from '../source-rows.tsx'

type Decision = 'keep' | 'leave-out'

interface DoubtsProps {
  readonly doubts: readonly Doubt[]
  readonly file: FileAtHand | null
  /** True where the file is in, and what was decided holds. */
  readonly isTaken?: boolean
  /** True where other rows are refused: what is decided can be taken in without them only. */
  readonly goodRowsOnly?: boolean
  /** Left out where nothing is to be decided any more. */
  readonly onChoose?: (choices: Partial<ImportChoices>) => void
}

/** What may be a slip, with the value that was probably meant; each kept as measured or left out, never changed. */
export function Doubts({ doubts, file, goodRowsOnly = false, isTaken = false, onChoose }: DoubtsProps) {
  const [shown, setShown] = useState<string | null>(null)
  const [decisions, setDecisions] = useState<Readonly<Record<string, Decision>>>({})
  const open = doubts.filter((doubt) => doubt.waits && doubt.decision === 'waiting')
  const undecided = open.filter((doubt) => decisions[doubtKey(doubt)] === undefined)
  const deciding = onChoose !== undefined && open.length > 0
  const decideAll = (decision: Decision) =>
    setDecisions(Object.fromEntries(open.map((doubt) => [doubtKey(doubt), decision])))
  return (
    <form
      class="doubts"
      onSubmit={(event) => {
        event.preventDefault()
        onChoose?.({
          preview: false,
          doubts: doubtChoices(open, decisions),
          ...(goodRowsOnly ? { takeGoodRows: true } : {}),
        })
      }}
    >
      <h3>
        {open.length > 0 ? `${counted(open.length, 'doubt')} to decide` : counted(doubts.length, 'doubt')}
      </h3>
      <ul>
        {doubts.map((doubt) => (
          <li key={doubtKey(doubt)}>
            <p>
              {doubt.line !== null && <span class="quiet">{`line ${doubt.line}: `}</span>}
              {doubt.text}{' '}
              {file !== null && doubt.line !== null && (
                <button
                  type="button"
                  class="plain"
                  aria-label={`${shown === doubtKey(doubt) ? 'Hide' : 'Show'} the row, line ${doubt.line}`}
                  aria-expanded={shown === doubtKey(doubt)}
                  onClick={() => setShown(shown === doubtKey(doubt) ? null : doubtKey(doubt))}
                >
                  {shown === doubtKey(doubt) ? 'Hide the row' : 'Show the row'}
                </button>
              )}
            </p>
            {file !== null && doubt.line !== null && shown === doubtKey(doubt) && (
              <SourceRowsView address={lineAddress(file, doubt.line, doubt.position)} />
            )}
            {deciding && open.includes(doubt) ? (
              <DecisionChoice
                name={doubtKey(doubt)}
                value={decisions[doubtKey(doubt)] ?? null}
                onPick={(decision) => setDecisions({ ...decisions, [doubtKey(doubt)]: decision })}
              />
            ) : (
              doubt.decision !== 'waiting' && (
                <p class="quiet">
                  {doubt.decision === 'kept' ? 'Kept as measured. ' : 'Left out. '}
                  {doubt.decision === 'kept' && isTaken && doubt.serial !== null && (
                    <a href={findPartPage(doubt.serial)}>{`Part ${doubt.serial}`}</a>
                  )}
                </p>
              )
            )}
          </li>
        ))}
      </ul>
      {isTaken && doubts.some(({ decision }) => decision === 'kept') && (
        <p class="quiet">
          A value kept by mistake is left out on its chart, to which its part leads; a value left out by
          mistake comes in when the import is withdrawn and brought again.
        </p>
      )}
      {deciding && (
        <p class="actions">
          <button type="submit" class="main" disabled={undecided.length > 0}>
            {goodRowsOnly ? 'Take it in so, without the refused rows' : 'Take it in so'}
          </button>
          <button type="button" class="plain" onClick={() => decideAll('keep')}>
            Keep all as measured
          </button>
          <button type="button" class="plain" onClick={() => decideAll('leave-out')}>
            Leave all of them out
          </button>
        </p>
      )}
    </form>
  )
}

interface DecisionChoiceProps {
  readonly name: string
  readonly value: Decision | null
  onPick(decision: Decision): void
}

function DecisionChoice({ name, value, onPick }: DecisionChoiceProps) {
  return (
    <fieldset class="keep-or-leave">
      <legend class="unseen">What to do with it</legend>
      {(['keep', 'leave-out'] as const).map((decision) => (
        <label key={decision}>
          <input type="radio" name={name} checked={value === decision} onChange={() => onPick(decision)} />
          {decision === 'keep' ? 'keep as measured' : 'leave out'}
        </label>
      ))}
    </fieldset>
  )
}
