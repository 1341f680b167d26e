import type { ComponentChildren } from 'preact'
import type { ImportChoices, NewSignal, Receipt, Remedy } from '../../../server/contract/receipt.ts'
import { driftPage, recordPage } from '../../data/addresses.ts'
import { counted } from '../../words/quantities.ts'
import { receiptGrounds, receiptHeadline } from '../../words/receipt.ts'
import { DataTable } from '../data-table.tsx'
import { Caution } from '../notice.tsx'
import { Words } from '../sentence.tsx'
import type { FileAtHand } from '../source-rows.tsx'
import { NamePartNumber } from './name-part-number.tsx'
import { Asking } from './receipt-asking.tsx'
import { Doubts } from './receipt-doubts.tsx'
import { RefusedRows } from './refused-rows.tsx'
import { StudyOutcome } from './study-outcome.tsx'
import { ValuesAtLimits } from './values-at-limits.tsx'

interface ReceiptViewProps {
  readonly receipt: Receipt
  /** Tries the file again with these choices; left out where the file is not at hand. */
  readonly onRemedy?: (choices: Partial<ImportChoices>) => void
  /** The job whose file it is, while that can be asked about. */
  readonly job?: string | undefined
  readonly level?: 1 | 2
  /** What belongs right below the verdict. */
  readonly children?: ComponentChildren
}

/** What came of a file: the verdict, what it rests on, what was done on the way, what was refused, and what next. */
export function ReceiptView({ receipt, onRemedy, job, level = 2, children }: ReceiptViewProps) {
  const Heading = level === 1 ? 'h1' : 'h2'
  const { problem, notes, refused, partNumbers, remedies } = receipt
  const doubted = receipt.doubts?.some((doubt) => doubt.waits && doubt.decision === 'waiting') ?? false
  const file: FileAtHand | null =
    receipt.importId !== null ? { importId: receipt.importId } : job === undefined ? null : { job }
  /** A table of which no column is understood, and which can be explained here. */
  const toName =
    onRemedy !== undefined && (receipt.reading?.columns.every(({ role }) => role === null) ?? false)
  const taken = receipt.verdict === 'taken' || receipt.verdict === 'taken-in-part'
  return (
    <article class="receipt">
      <Heading>
        <Words sentence={receiptHeadline(receipt)} />
      </Heading>
      <p class="grounds">
        <Words sentence={receiptGrounds(receipt)} />
      </p>
      {children}
      {(receipt.outOfSpecification > 0 || (receipt.insideUncertainty ?? 0) > 0) && <Caution />}
      {problem !== null && (
        <p>
          {problem.where !== null && <>Where: {problem.where}. </>}
          {toName
            ? 'Say below what each column holds, if it is a table of measurements: it is remembered for files like it.'
            : problem.next}
        </p>
      )}
      {receipt.verdict === 'known' && receipt.earlierImportId !== null && (
        <p>
          <a href={recordPage(receipt.earlierImportId)}>
            Read the receipt of import {receipt.earlierImportId}
          </a>
        </p>
      )}
      {notes.length > 0 && (
        <ul class="notes">
          {notes.map((note) => (
            <li key={note.text}>{note.text}</li>
          ))}
        </ul>
      )}
      {receipt.verdict === 'asking' &&
        receipt.reading !== undefined &&
        onRemedy !== undefined &&
        !doubted && <Asking receipt={receipt} reading={receipt.reading} onChoose={onRemedy} />}
      {receipt.verdict === 'refused' && receipt.reading !== undefined && onRemedy !== undefined && (
        <details open={receipt.reading.questions.length > 0 || toName}>
          <summary>
            {toName
              ? 'Say what its columns are'
              : receipt.reading.questions.length > 0
                ? 'Say what the file does not'
                : 'Read it differently'}
          </summary>
          <Asking receipt={receipt} reading={receipt.reading} onChoose={onRemedy} />
        </details>
      )}
      {receipt.doubts !== undefined && receipt.doubts.length > 0 && (
        <Doubts
          doubts={receipt.doubts}
          file={file}
          isTaken={taken && receipt.withdrawn === undefined}
          goodRowsOnly={remedies.includes('take-good-rows')}
          {...(onRemedy === undefined ? {} : { onChoose: onRemedy })}
        />
      )}
      {onRemedy !== undefined && remedies.length > 0 && (
        <Remedies receipt={receipt} doubted={doubted} onRemedy={onRemedy} />
      )}
      {refused.length > 0 && <RefusedRows refused={refused} fileName={receipt.fileName} file={file} />}
      {receipt.signals !== undefined && receipt.signals.length > 0 && (
        <NewSignals signals={receipt.signals} />
      )}
      {receipt.nonconforming !== undefined && receipt.nonconforming.length > 0 && (
        <ValuesAtLimits
          values={receipt.nonconforming}
          fileName={receipt.fileName}
          inside={null}
          file={file}
          partNumbers={partNumbers}
        />
      )}
      {receipt.nearLimits !== undefined && receipt.nearLimits.length > 0 && (
        <ValuesAtLimits
          values={receipt.nearLimits}
          fileName={receipt.fileName}
          inside={receipt.insideUncertainty ?? receipt.nearLimits.length}
          file={file}
          partNumbers={partNumbers}
        />
      )}
      {taken && receipt.gaugeStudies !== undefined && (
        <ul class="notes">
          {receipt.gaugeStudies.map(({ id, plan }) => (
            <StudyOutcome key={id} id={id} plan={plan} />
          ))}
        </ul>
      )}
      {taken && receipt.gaugeStudies === undefined && partNumbers.length > 0 && (
        <p>
          On to{' '}
          {partNumbers.map((key, i) => (
            <>
              {i > 0 && ', '}
              <a key={`${key.number} ${key.revision}`} href={driftPage(key)}>
                the drift of {key.number}, rev {key.revision}
              </a>
            </>
          ))}
        </p>
      )}
      <Read receipt={receipt} />
    </article>
  )
}

function Remedies({
  receipt,
  doubted,
  onRemedy,
}: {
  receipt: Receipt
  /** True where doubts wait: the good rows are then taken with what is decided of them. */
  doubted: boolean
  onRemedy: (choices: Partial<ImportChoices>) => void
}) {
  const offered = (remedy: Remedy) => receipt.remedies.includes(remedy)
  return (
    <div class="remedies">
      {offered('take-good-rows') && !doubted && (
        // Where the file as a whole is at fault, its good rows are not the way on.
        <button
          type="button"
          class={receipt.problem === null ? 'main' : undefined}
          onClick={() => onRemedy({ takeGoodRows: true })}
        >
          {`Take the ${counted(receipt.rowsRead - receipt.rowsRefused, 'good row')}`}
        </button>
      )}
      {offered('convert-units') && (
        <button type="button" onClick={() => onRemedy({ convertUnits: true })}>
          Convert the units and take in
        </button>
      )}
      {offered('name-part-number') && <NamePartNumber onRemedy={onRemedy} />}
    </div>
  )
}

function NewSignals({ signals }: { signals: readonly NewSignal[] }) {
  return (
    <div>
      <h3>{`${counted(signals.length, 'new signal')} through this file`}</h3>
      <ul class="notes">
        {signals.map((signal) => (
          <li key={`${signal.number} ${signal.revision} ${signal.characteristic} ${signal.text}`}>
            <a href={driftPage(signal, signal.characteristic)}>{signal.text}</a>
          </li>
        ))}
      </ul>
    </div>
  )
}

/** How each column was read, and the fingerprint of the file. */
function Read({ receipt }: { receipt: Receipt }) {
  const { columns, sha256 } = receipt
  if (columns.length === 0 && sha256 === '') return null
  return (
    <details>
      <summary>How the file was read</summary>
      {columns.length > 0 && (
        <DataTable
          table={{
            caption: 'Columns of the file and what they were read as',
            columns: [
              { heading: 'column', decimals: null },
              { heading: 'read as', decimals: null },
            ],
            rows: columns.map(({ heading, meaning }) => [
              heading,
              meaning ?? 'kept as a condition, or passed over',
            ]),
          }}
        />
      )}
      {sha256 !== '' && (
        <p class="fingerprint">
          SHA-256 <code>{sha256}</code>
        </p>
      )}
    </details>
  )
}
