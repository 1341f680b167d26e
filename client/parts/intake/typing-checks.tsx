import type { DoubtKind } from '../../../server/contract/receipt.ts'
import type { TypedRemark } from '../../data/typed-checks.ts'
import { OWN_FIELD_WORDS } from '../../data/typed-own-limits.ts'
import type { TypedSheet } from '../../data/typed-sheet.ts'

interface TypingChecksProps {
  readonly sheet: TypedSheet
  readonly remarks: readonly TypedRemark[]
  onCorrect(row: number, designator: string, text: string): void
  onDecide(row: number, designator: string, doubt: DoubtKind, isKept: boolean): void
}

/** What the checks say of the values typed; a doubt is corrected, or kept as measured, and not asked about again. */
export function TypingChecks({ sheet, remarks, onCorrect, onDecide }: TypingChecksProps) {
  return (
    <div role="status" aria-label="Checks">
      {remarks.length > 0 && (
        <ul class="notes typing-checks">
          {remarks.map(({ row, designator, field, kind, text, likely, doubt, isKept }) => (
            <li key={`${row} ${designator} ${kind} ${doubt} ${text}`}>
              {`Part ${sheet.rows[row]?.serial || row + 1}, ${designator}${field === undefined ? '' : ` ${OWN_FIELD_WORDS[field]}`}: ${text} `}
              {likely !== null && !isKept && doubt !== 'exchanged' && (
                <>
                  <button type="button" class="plain" onClick={() => onCorrect(row, designator, likely)}>
                    {`It was ${likely}`}
                  </button>{' '}
                </>
              )}
              {doubt !== null && (
                <>
                  {isKept && <span class="quiet">Kept as measured. </span>}
                  <button
                    type="button"
                    class="plain"
                    aria-label={`${isKept ? 'Decide again' : 'Keep as measured'}: part ${sheet.rows[row]?.serial || row + 1}, ${designator}`}
                    onClick={() => onDecide(row, designator, doubt, !isKept)}
                  >
                    {isKept ? 'Decide again' : 'Keep as measured'}
                  </button>
                </>
              )}
            </li>
          ))}
        </ul>
      )}
    </div>
  )
}
