import type { RecordSubjectView } from '../../server/contract/record.ts'
import { capabilityPage, driftPage, recordPage } from './addresses.ts'
import { changedQuery } from './query.ts'

/** Addresses of the record: of its pages and of the interface. */

/** What the page's address may ask for. */
const FILTERS = ['kind', 'person', 'about', 'from', 'to', 'text'] as const
export type RecordFilterName = (typeof FILTERS)[number]

type Query = Readonly<Record<string, string>>

export const RECORD_PAGE = '/record'

/** The filters that the page's address holds, as the interface takes them: days become moments. */
function asked(query: Query): Record<string, string> {
  const known: Record<string, string> = {}
  for (const name of FILTERS) {
    const value = query[name]?.trim()
    if (value === undefined || value === '') continue
    if (name !== 'from' && name !== 'to') known[name] = value
    else {
      // A day on the reader's own clock, from its first moment to its last.
      const day = new Date(`${value}T${name === 'from' ? '00:00:00' : '23:59:59'}`)
      if (!Number.isNaN(day.getTime())) known[name] = String(Math.floor(day.getTime() / 1000))
    }
  }
  return known
}

export function recordAddress(query: Query): string {
  return `/api/record${changedQuery({}, { ...asked(query), before: query.before ?? null })}`
}

export function recordFileAddress(query: Query, format: 'csv' | 'json'): string {
  return `/api/record/file${changedQuery({}, { ...asked(query), format })}`
}

export function verifyRecordAddress(expect: string, files: boolean): string {
  return `/api/record/verification${changedQuery({}, { expect: expect === '' ? null : expect, files: files ? 'true' : null })}`
}

/** The page with the entries about one thing. */
export function entriesAbout({ kind, id }: Pick<RecordSubjectView, 'kind' | 'id'>): string {
  return `${RECORD_PAGE}?about=${kind}:${id}`
}

export function reportRecordPage(report: number): string {
  return `/record/reports/${report}`
}

export function reportRecordAddress(report: string, query: Query): string {
  const { characteristic = null, before = null } = query
  return `/api/reports/${encodeURIComponent(report)}/record${changedQuery({}, { characteristic, before })}`
}

/** The page of what an entry is about; null where it has none of its own. */
export function subjectPage({ kind, id, partNumber, designator }: RecordSubjectView): string | null {
  if (kind === 'import') return recordPage(id)
  if (kind === 'report') return reportRecordPage(id)
  if (partNumber === null) return null
  if (kind === 'part-number') return capabilityPage(partNumber)
  return driftPage(partNumber, designator ?? undefined)
}
