import { useRoute } from 'preact-iso'
import type { ReportRecordView } from '../../server/contract/record.ts'
import { characteristicTitle } from '../../src/words/format.ts'
import { useQuery } from '../data/query.ts'
import { reportRecordAddress } from '../data/record-addresses.ts'
import { REPORTS_PAGE } from '../data/report-addresses.ts'
import { useResource } from '../data/resource.ts'
import { Reading } from '../parts/notice.tsx'
import { RecordPaging, RecordTable } from '../parts/record/record-table.tsx'
import { useTitle } from '../parts/title.ts'

/** The entries that shaped a report on record, or the figures of one of its characteristics. */
export function ReportRecordPage() {
  const report = useRoute().params.report ?? ''
  useTitle(`Report ${report}`)
  const { query, change } = useQuery()
  const resource = useResource<ReportRecordView>(reportRecordAddress(report, query))
  const view = resource.value
  return (
    <>
      <p class="back">
        <a href={REPORTS_PAGE}>All reports</a>
      </p>
      <Reading resource={resource} what="what shaped the report" />
      {view !== null && (
        <>
          <header class="opening">
            <h1>{`What shaped report ${view.number}: ${view.title}`}</h1>
            <p class="grounds">
              {view.entries.length === 0
                ? 'No entry speaks of it: its data are from before the record, or nothing was decided.'
                : 'What was brought, withdrawn and decided for its part number and stage before it was made. The figures of one characteristic rest on the imports and on what was decided about it.'}
            </p>
          </header>
          <p class="controls">
            <label>
              {'figures of '}
              <select
                value={query.characteristic ?? ''}
                onChange={({ currentTarget: { value } }) =>
                  change({ characteristic: value === '' ? null : value, before: null })
                }
              >
                <option value="">the whole report</option>
                {view.characteristics.map(({ id, ...name }) => (
                  <option key={id} value={String(id)}>
                    {characteristicTitle(name)}
                  </option>
                ))}
              </select>
            </label>
          </p>
          {view.entries.length > 0 && (
            <RecordTable entries={view.entries} caption={`Entries that shaped report ${view.number}`} />
          )}
          <RecordPaging
            next={view.next}
            paged={query.before !== undefined}
            onPage={(before) => change({ before }, false)}
          />
        </>
      )}
    </>
  )
}
