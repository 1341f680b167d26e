import { createHash } from 'node:crypto'
import type { Stage } from '../../src/domain/cell.ts'
import { fingerprintOf } from '../canonical.ts'
import { REPORT_VERSION, type Report } from '../contract/report.ts'
import type { PartNumber } from '../contract/views.ts'
import type { Store } from '../store/store.ts'
import { figuresTable } from './figures-table.ts'
import { htmlOf } from './html.ts'
import { layOut } from './layout.ts'
import { pdfOf } from './pdf.ts'
import type { PaperSize } from './plate-size.ts'
import { defaultTitle, reportContent, type SpanWanted, spanNames } from './report-data.ts'
import { csvOf, xlsxOf } from './spreadsheet.ts'

export type ReportFormat = 'pdf' | 'html' | 'csv' | 'xlsx' | 'json'

export const REPORT_FORMATS: readonly ReportFormat[] = ['pdf', 'html', 'csv', 'xlsx', 'json']

export const REPORT_TYPES: Readonly<Record<ReportFormat, string>> = {
  pdf: 'application/pdf',
  html: 'text/html; charset=utf-8',
  csv: 'text/csv; charset=utf-8',
  xlsx: 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet',
  json: 'application/json',
}

/** What a report is asked to be. */
export interface ReportWanted extends SpanWanted {
  readonly stage: Stage
  readonly required?: number | undefined
  readonly confidence?: number | undefined
  readonly title?: string | undefined
}

/**
 * A report of the data as they are now, without a number and not on record.
 *
 * @param onProgress told how many characteristics are done, of how many
 * @throws UnknownBuildError
 */
export async function drawUpReport(
  store: Store,
  partNumber: PartNumber,
  wanted: ReportWanted,
  who: string,
  onProgress?: (done: number, all: number) => void,
): Promise<Report> {
  const { stage, required, confidence, title } = wanted
  const builds = await store.builds(partNumber.id, stage)
  const settings = {
    stage,
    required: required ?? null,
    confidence: confidence ?? null,
    ...spanNames(builds, wanted),
    title: title ?? defaultTitle(partNumber, stage),
  }
  const content = await reportContent(store, partNumber, settings, onProgress)
  return {
    kind: 'as-sintered report',
    version: REPORT_VERSION,
    number: null,
    madeAt: Math.floor(Date.now() / 1000),
    madeBy: who,
    fingerprint: fingerprintOf(content),
    content,
  }
}

/** Keep a report that was drawn up under the next number. */
export async function keepReport(store: Store, partNumber: PartNumber, report: Report): Promise<Report> {
  return await store.write((writer) => writer.addReport(partNumber.id, (number) => ({ ...report, number })))
}

export interface FileWanted {
  readonly format: ReportFormat
  readonly paper: PaperSize
  /** PNG or JPEG for the head of the PDF; null for none. */
  readonly logo: Buffer | null
}

/** The report as a file. The same report gives the same bytes. */
export async function reportFile(report: Report, { format, paper, logo }: FileWanted): Promise<Buffer> {
  const json = JSON.stringify(report)
  switch (format) {
    case 'json':
      return Buffer.from(json)
    case 'csv':
      return Buffer.from(csvOf(figuresTable(report)))
    case 'xlsx':
      return await xlsxOf(figuresTable(report))
    case 'html':
      return Buffer.from(htmlOf(layOut(report, paper), json))
    case 'pdf': {
      const attachment = { name: 'report.json', bytes: Buffer.from(json) }
      return await pdfOf(layOut(report, paper), { paper, logo, attachment })
    }
  }
}

/** Note the hash of a file that holds a report on record, so that it is known again when it is verified. */
export async function noteCopy(
  store: Store,
  { number }: Report,
  format: ReportFormat,
  bytes: Uint8Array,
): Promise<void> {
  // A table does not hold the report.
  if (number === null || format === 'csv' || format === 'xlsx') return
  const sha256 = createHash('sha256').update(bytes).digest('hex')
  if ((await store.reportCopy(sha256)) !== null) return
  const copy = { report: number, format, at: Math.floor(Date.now() / 1000) }
  await store.write((writer) => writer.noteReportCopy(sha256, copy))
}

/** "HB-204-C-report-7.pdf" */
export function fileNameOf({ content, number }: Report, format: ReportFormat): string {
  const { partNumber } = content
  const stem = `${partNumber.number}-${partNumber.revision}-report${number === null ? '' : `-${number}`}`
  return `${stem.normalize('NFKD').replace(/[^A-Za-z0-9.-]+/g, '-')}.${format}`
}
