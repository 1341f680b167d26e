import { useRoute } from 'preact-iso'
import type { ImportsView, Receipt } from '../../server/contract/receipt.ts'
import { capitalise, countWord } from '../../src/words/format.ts'
import { CALLS } from '../data/calls.ts'
import { useResource } from '../data/resource.ts'
import { useMay } from '../data/session.ts'
import { ImportsTable } from '../parts/imports-table.tsx'
import { Reading } from '../parts/notice.tsx'
import { ReceiptView } from '../parts/receipt-view.tsx'
import { useTitle } from '../parts/title.ts'
import { WithdrawImport } from '../parts/withdraw-import.tsx'
import { dayText } from '../words/quantities.ts'

/** What was taken in, when and by whom. */
export function RecordPage() {
  useTitle('Record')
  const resource = useResource<ImportsView>('/api/imports')
  const imports = resource.value?.imports ?? null
  const oldest = imports?.at(-1)
  return (
    <>
      <Reading resource={resource} what="the record" />
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
          <p>
            <a href="/record/reports">Reports made, and whether they still follow from the data</a>
          </p>
          <p>
            <a href="/record/evidence">Are the statistics right? Published figures, recomputed here</a>
          </p>
          <p>
            <a href="/interface">The interface for programs: every call, and who may make it</a>
          </p>
          <AdministratorWays />
          {imports.length > 0 && <ImportsTable imports={imports} caption="Imports, newest first" />}
        </>
      )}
    </>
  )
}

function AdministratorWays() {
  const may = useMay()
  if (!may(CALLS.letPeopleIn)) return null
  return (
    <p>
      <a href="/record/people">People who may sign in</a>, and <a href="/record/tokens">tokens of machines</a>
    </p>
  )
}

/** The receipt of one import, and its file as it came. */
export function ImportPage() {
  const id = useRoute().params.id ?? ''
  useTitle(`Import ${id}`)
  const resource = useResource<Receipt>(`/api/imports/${encodeURIComponent(id)}`)
  return (
    <>
      <p class="back">
        <a href="/record">All imports</a>
      </p>
      <Reading resource={resource} what="the receipt" />
      {resource.value !== null && (
        <>
          <ReceiptView receipt={resource.value} level={1} />
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
