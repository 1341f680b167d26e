import { useState } from 'preact/hooks'
import type { RefusedRow } from '../../../server/contract/receipt.ts'
import { countOf } from '../../../src/words/format.ts'
import type { TableModel } from '../../save/csv.ts'
import { counted } from '../../words/quantities.ts'
import { type AlikeRows, byReason } from '../../words/refused-reasons.ts'
import { DataTable } from '../data-table.tsx'
import { saveTable } from '../figure.tsx'
import { type FileAtHand, rowDetail } from '../source-rows.tsx'

const LINE = { heading: 'line', decimals: 0 }
/** The reason first: on a narrow screen the others are reached by scrolling. */
const WHAT = [
  { heading: 'reason', decimals: null },
  { heading: 'column', decimals: null },
  { heading: 'value', decimals: null },
]

function whatOf({ column, value, reason }: RefusedRow): string[] {
  return [reason, column ?? 'whole row', value]
}

function everyRow(refused: readonly RefusedRow[], fileName: string): TableModel {
  return {
    caption: `Rows of ${fileName} that were refused`,
    columns: [LINE, ...WHAT],
    rows: refused.map((row) => [row.line, ...whatOf(row)]),
  }
}

function firstOfEach(reasons: readonly AlikeRows[], fileName: string): TableModel {
  return {
    caption: `Why rows of ${fileName} were refused, with the first row of each reason`,
    columns: [{ ...LINE, heading: 'first line' }, { heading: 'rows', decimals: 0 }, ...WHAT],
    rows: reasons.map((rows) => [rows[0].line, rows.length, ...whatOf(rows[0])]),
  }
}

export interface RefusedRowsProps {
  readonly refused: readonly RefusedRow[]
  readonly fileName: string
  readonly file: FileAtHand | null
}

/** Rows that cannot be taken and why: reason by reason where many have the same, and all of them on request. */
export function RefusedRows({ refused, fileName, file }: RefusedRowsProps) {
  const [all, setAll] = useState(false)
  const reasons = byReason(refused)
  const isShort = reasons.length === refused.length
  const whole = everyRow(refused, fileName)
  return (
    <div class={`refused ${all || isShort ? 'every-row' : 'reasons'}`}>
      <h3>
        {`${counted(refused.length, 'refused row')}${isShort ? '' : `, for ${countOf(reasons.length, 'reason')}`}`}
      </h3>
      {all || isShort ? (
        <DataTable key="all" table={whole} {...rowDetail(file, refused)} />
      ) : (
        <DataTable
          key="reasons"
          table={firstOfEach(reasons, fileName)}
          {...rowDetail(
            file,
            reasons.map(([first]) => first),
          )}
        />
      )}
      <p class="actions">
        {!isShort && (
          <button type="button" class="plain" aria-expanded={all} onClick={() => setAll(!all)}>
            {all ? 'Show one row of each reason' : `Show all ${refused.length}`}
          </button>
        )}
        <button type="button" class="plain" onClick={() => saveTable(whole, `${fileName} refused rows`)}>
          Save the refused rows as CSV
        </button>
      </p>
    </div>
  )
}
