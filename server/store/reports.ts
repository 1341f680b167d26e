import type { Kysely } from 'kysely'
import type { Report, ReportSummary } from '../contract/report.ts'
import type { Recorder } from './record/recorder.ts'
import type { ReportTable } from './report-tables.ts'
import type { Schema } from './schema.ts'

/** A file that was made of a report. */
export interface ReportCopy {
  readonly report: number
  readonly format: string
  /** Seconds since 1970-01-01 UTC. */
  readonly at: number
}

export interface ReportReads {
  /** Newest first. */
  reports(): Promise<ReportSummary[]>
  report(number: number): Promise<Report | null>
  /** The report that a file with this hash was made of here; null where none was. */
  reportCopy(sha256: string): Promise<ReportCopy | null>
}

export interface ReportWrites {
  /**
   * Keep a report under the next number.
   *
   * @param make the report once it has its number
   */
  addReport(partNumberId: number, make: (number: number) => Report): Promise<Report>
  noteReportCopy(sha256: string, copy: ReportCopy): Promise<void>
}

export function reportReads(db: Kysely<Schema>): ReportReads {
  return {
    async reports() {
      const rows = await db
        .selectFrom('report')
        .innerJoin('part_number', 'part_number.id', 'report.part_number_id')
        .select([
          'report.id as number',
          'report.title',
          'report.fingerprint',
          'report.who',
          'report.at',
          'part_number.number as partNumber',
          'part_number.revision',
        ])
        .orderBy('report.id', 'desc')
        .execute()
      return rows.map((row) => ({ ...row, at: Number(row.at) }))
    },

    async report(number) {
      const row = await db.selectFrom('report').select('content').where('id', '=', number).executeTakeFirst()
      return row === undefined ? null : (JSON.parse(row.content) as Report)
    },

    async reportCopy(sha256) {
      const row = await db
        .selectFrom('report_copy')
        .select(['report_id as report', 'format', 'at'])
        .where('sha256', '=', sha256)
        .executeTakeFirst()
      return row === undefined ? null : { ...row, at: Number(row.at) }
    },
  }
}

export function reportWrites(db: Kysely<Schema>, record: Recorder): ReportWrites {
  return {
    async addReport(partNumberId, make) {
      const last = await db
        .selectFrom('report')
        .select((eb) => eb.fn.max('id').as('id'))
        .executeTakeFirst()
      const id = Number(last?.id ?? 0) + 1
      const report = make(id)
      const row: ReportTable = {
        id,
        part_number_id: partNumberId,
        title: report.content.settings.title,
        fingerprint: report.fingerprint,
        content: JSON.stringify(report),
        who: report.madeBy,
        at: report.madeAt,
      }
      await db.insertInto('report').values(row).execute()
      await record.append({
        kind: 'report',
        at: row.at,
        who: row.who,
        about: [
          { kind: 'report', id },
          { kind: 'part-number', id: partNumberId },
        ],
        details: { fingerprint: row.fingerprint },
        words: { title: row.title },
        row: { table: 'report', key: { id } },
      })
      return report
    },

    async noteReportCopy(sha256, { report, format, at }) {
      const { numInsertedOrUpdatedRows } = await db
        .insertInto('report_copy')
        .values({ sha256, report_id: report, format, at })
        .onConflict((conflict) => conflict.column('sha256').doNothing())
        .executeTakeFirst()
      if (numInsertedOrUpdatedRows !== 1n) return
      await record.append({
        kind: 'report-file',
        at,
        who: null,
        about: [{ kind: 'report', id: report }],
        details: { file: sha256, format },
        row: { table: 'report_copy', key: { sha256 } },
      })
    },
  }
}
