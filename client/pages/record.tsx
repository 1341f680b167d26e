import { useState } from 'preact/hooks'
import type { RecordVerification, RecordView } from '../../server/contract/record.ts'
import { formatCount } from '../../src/words/format.ts'
import { CALLS } from '../data/calls.ts'
import { useQuery } from '../data/query.ts'
import { type RecordFilterName, recordAddress, recordFileAddress } from '../data/record-addresses.ts'
import { useResource } from '../data/resource.ts'
import { useMay } from '../data/session.ts'
import { Disclosure } from '../parts/disclosure.tsx'
import { Reading } from '../parts/notice.tsx'
import { RecordFilters } from '../parts/record/record-filters.tsx'
import { RecordPaging, RecordTable } from '../parts/record/record-table.tsx'
import { VerifyRecord } from '../parts/record/record-verification.tsx'
import { useTitle } from '../parts/title.ts'
import { counted, dayText, timeText } from '../words/quantities.ts'

/** Everything that anybody did, entry by entry, and whether it stands as it was written. */
export function RecordPage() {
  useTitle('Record')
  const { query, change } = useQuery()
  const resource = useResource<RecordView>(recordAddress(query))
  const [verified, setVerified] = useState<RecordVerification | null>(null)
  const view = resource.value
  const filter = (patch: Readonly<Partial<Record<RecordFilterName, string | null>>>) =>
    change({ ...patch, before: null })
  return (
    <>
      <Reading resource={resource} what="the record" />
      {view !== null && (
        <>
          <header class="opening">
            <h1>{sizeSentence(view)}</h1>
            <p class="grounds">{stateSentence(view, verified ?? view.verified)}</p>
            {view.head !== null && (
              <p class="head-hash">
                {`Head: entry ${view.head.sequence}, `}
                <code>{view.head.hash}</code>
              </p>
            )}
          </header>
          <Ways />
          <Disclosure name="verify" title="Verify the record">
            <p>
              Every entry holds the hash of the one before, so that an entry changed, removed or moved shows.
              A chain cannot show by itself that its last entries were cut off: note the head somewhere else,
              and give it here later.
            </p>
            <VerifyRecord onVerified={setVerified} />
          </Disclosure>
          <RecordFilters query={query} onChange={filter} />
          {view.entries.length === 0 ? (
            <p>No entry meets all of this.</p>
          ) : (
            <RecordTable entries={view.entries} caption="Entries of the record, newest first" />
          )}
          <RecordPaging
            next={view.next}
            paged={query.before !== undefined}
            onPage={(before) => change({ before }, false)}
          />
          <p class="actions">
            <a href={recordFileAddress(query, 'csv')} download>
              Save these entries as CSV
            </a>
            <a href={recordFileAddress(query, 'json')} download>
              Save them as JSON
            </a>
          </p>
        </>
      )}
    </>
  )
}

function sizeSentence({ head, since }: RecordView): string {
  if (head === null || since === null) return 'The record holds no entry yet.'
  return `The record holds ${counted(head.sequence, 'entry', 'entries')} since ${dayText(since)}.`
}

function stateSentence({ head }: RecordView, verified: RecordVerification | null): string {
  if (head === null) return 'Whatever anybody brings or decides leaves an entry here, which is never changed.'
  if (verified === null) return 'It was not verified since the program started.'
  const { at, faultCount, entries } = verified
  const later = head.sequence - (verified.head?.sequence ?? 0)
  const since = later > 0 ? ` ${counted(later, 'entry', 'entries')} came since.` : ''
  return faultCount === 0
    ? `Verified ${timeText(at)}: all ${formatCount(entries)} are as they were written, and in their places.${since}`
    : `Verified ${timeText(at)}: ${counted(faultCount, 'fault')} found.${since}`
}

function Ways() {
  const may = useMay()
  return (
    <ul class="ways">
      <li>
        <a href="/record/parts">Find a part</a>
      </li>
      <li>
        <a href="/record/imports">Imports with their receipts</a>
      </li>
      <li>
        <a href="/record/reports">Reports, and whether they still follow</a>
      </li>
      <li>
        <a href="/record/evidence">Are the statistics right?</a>
      </li>
      <li>
        <a href="/interface">The interface for programs</a>
      </li>
      {may(CALLS.erase) && (
        <li>
          <a href="/record/erasure">Erase what must go</a>
        </li>
      )}
      {may(CALLS.letPeopleIn) && (
        <>
          <li>
            <a href="/record/people">People who may sign in</a>
          </li>
          <li>
            <a href="/record/tokens">Tokens of machines</a>
          </li>
        </>
      )}
    </ul>
  )
}
