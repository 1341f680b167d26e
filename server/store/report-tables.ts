/** Tables of reports made. Rows are only ever added. */
export interface ReportTables {
  report: ReportTable
  report_copy: ReportCopyTable
}

export interface ReportTable {
  /** The number on the report, from 1 upwards. */
  id: number
  part_number_id: number
  title: string
  fingerprint: string
  /** The whole report as JSON. */
  content: string
  who: string
  at: number
}

/** A file that was made of a report: what has this hash came from here as it is. */
export interface ReportCopyTable {
  sha256: string
  report_id: number
  format: string
  at: number
}
