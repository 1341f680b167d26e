import { useRoute } from 'preact-iso'
import type { ImportsView, Receipt } from '../../server/contract/receipt.ts'
import { capitalise, countWord } from '../../src/words/format.ts'
import { lineAddress } from '../data/addresses.ts'
import { useQuery } from '../data/query.ts'
import { entriesAbout } from '../data/record-addresses.ts'
import { useResource } from '../data/resource.ts'
import { ImportsTable } from '../parts/intake/imports-table.tsx'
import { ReceiptView } from '../parts/intake/receipt-view.tsx'
import { WithdrawImport } from '../parts/intake/withdraw-import.tsx'
import { Reading } from '../parts/notice.tsx'
import { SourceRowsView } from '../parts/source-rows.tsx'
import { useTitle } from '../parts/title.ts'
import { dayText } from '../words/quantities.ts'

/** What was taken in, when and by whom. */
export function ImportsPage() {
  useTitle('Imports')
  const resource = useResource<ImportsView>('/api/imports')
  const imports = resource.value?.imports ?? null
  const oldest = imports?.at(-1)
  return (
    <>
      <p class="back">
        <a href="/record">The record</a>
      </p>
      <Reading resource={resource} what="the imports" />
      {imports !== null && (
        <>
          <header class="opening">
            <h1>
              {oldest === undefined
                ? 'Nothing has been taken in yet.'
                : `${capitalise(countWord(imports.length))} ${imports.length === 1 ? 'file' : 'files'} handed in since ${dayText(oldest.at)}.`}
            </h1>
            <p class="grounds">
              {oldest === undefined ? (
                <>
                  Files that you bring to the <a href="/intake">intake</a> are listed here, with their
                  receipts.
                </>
              ) : (
                'Each receipt says what was read, what was refused and why. The files are kept as they came.'
              )}
            </p>
          </header>
          {imports.length > 0 && <ImportsTable imports={imports} caption="Imports, newest first" />}
        </>
      )}
    </>
  )
}

/** The receipt of one import, and its file as it came. */
export function ImportPage() {
  const id = useRoute().params.id ?? ''
  useTitle(`Import ${id}`)
  const { query } = useQuery()
  const [line, column] = [query.line, query.column].map((text) => placeOf(text))
  const resource = useResource<Receipt>(`/api/imports/${encodeURIComponent(id)}`)
  return (
    <>
      <p class="back">
        <a href="/record/imports">All imports</a>,{' '}
        <a href={entriesAbout({ kind: 'import', id: Number(id) })}>entries about this one</a>
      </p>
      <Reading resource={resource} what="the receipt" />
      {resource.value !== null && (
        <>
          <ReceiptView receipt={resource.value} level={1}>
            {line !== null && line !== undefined && (
              <section class="in-the-file">
                <h2>{`Line ${line} of the file`}</h2>
                <SourceRowsView
                  address={lineAddress({ importId: Number(id) }, line, column ?? 'value')}
                  onReceipt
                />
              </section>
            )}
          </ReceiptView>
          <WithdrawImport receipt={resource.value} onDone={resource.again} />
          <p class="actions">
            <a href={`/api/imports/${encodeURIComponent(id)}/file`} download>
              Save the file as it came
            </a>
          </p>
        </>
      )}
    </>
  )
}

/** A line or column in the address, counted from 1; null where it names none. */
function placeOf(text: string | undefined): number | null {
  return text !== undefined && /^[1-9]\d{0,8}$/.test(text) ? Number(text) : null
}
