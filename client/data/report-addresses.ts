import type { PartNumberKey } from './addresses.ts'

/** Addresses of reports. */

export const REPORTS_PAGE = '/record/reports'

export function newReportAddress({ number, revision }: PartNumberKey): string {
  return `/api/part-numbers/${encodeURIComponent(number)}/${encodeURIComponent(revision)}/report`
}

export function reportFileAddress(number: number, format: string, paper: string): string {
  return `/api/reports/${number}/file?format=${format}&paper=${paper}`
}

export function verifyReportAddress(number: number): string {
  return `/api/reports/${number}/verify`
}
