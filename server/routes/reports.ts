import { type Context, Hono } from 'hono'
import { bodyLimit } from 'hono/body-limit'
import { stream } from 'hono/streaming'
import { signed } from '../access/signer.ts'
import { reportRecordQuery } from '../contract/record-requests.ts'
import { REPORT_VERSION, type Report, type ReportSummary, type ReportsView } from '../contract/report.ts'
import { newReport, reportFileQuery, reportNumber, reportQuery } from '../contract/report-requests.ts'
import { notFound, ProblemError } from '../problem.ts'
import { NotAReportError } from '../report/attached.ts'
import { LogoError, requireLogo } from '../report/logo.ts'
import {
  type FileWanted,
  fileNameOf,
  keepReport,
  noteCopy,
  REPORT_TYPES,
  type ReportFormat,
} from '../report/make-report.ts'
import { UnknownBuildError } from '../report/report-data.ts'
import { onReportThread } from '../report/report-thread.ts'
import type { Store } from '../store/store.ts'
import { reportRecord } from '../views/report-record-view.ts'
import { findPartNumber } from './finders.ts'
import { validated } from './validated.ts'

const LARGEST_LOGO = 2 << 20
const LARGEST_REPORT = 256 << 20

/** One line of the answer to an order for a report that is made in sight. */
export type ReportLine =
  | { readonly done: number; readonly all: number }
  | { readonly report: ReportSummary }
  | { readonly error: { readonly what: string; readonly where: string | null; readonly next: string } }

/** Making a report of one part number and revision; below /api/part-numbers. */
export function reportRoutes(store: Store) {
  const { location } = store
  return (
    new Hono()
      // As the data are now, without a number and not on record.
      .get('/:number/:revision/report', validated('query', reportQuery), async (c) => {
        const { format, paper, ...wanted } = c.req.valid('query')
        const partNumber = await findPartNumber(store, c.req.param())
        try {
          const who = 'nobody: made for a look'
          const report = await onReportThread({ what: 'draw up', location, partNumber, wanted, who })
          return sent(c, report, format, await print(report, { format, paper, logo: null }))
        } catch (error) {
          throw problemOf(error)
        }
      })
      .post('/:number/:revision/report', validated('json', newReport), async (c) => {
        const { who, ...wanted } = signed(c, c.req.valid('json'))
        const partNumber = await findPartNumber(store, c.req.param())
        const make = async (onProgress?: (done: number, all: number) => void) => {
          const order = { what: 'draw up', location, partNumber, wanted, who } as const
          return summaryOf(await keepReport(store, partNumber, await onReportThread(order, onProgress)))
        }
        if (c.req.header('Accept') !== 'application/x-ndjson') {
          try {
            const summary = await make()
            c.header('Location', `/api/reports/${summary.number}/file`)
            return c.json(summary, 201)
          } catch (error) {
            throw problemOf(error)
          }
        }
        c.header('Content-Type', 'application/x-ndjson')
        return stream(c, async (out) => {
          let written: Promise<unknown> = Promise.resolve()
          const line = (content: ReportLine) => {
            written = written.then(() => out.write(`${JSON.stringify(content)}\n`))
          }
          try {
            line({ report: await make((done, all) => line({ done, all })) })
          } catch (error) {
            const problem = problemOf(error)
            if (!(problem instanceof ProblemError)) c.get('log').error({ err: error }, 'failed')
            line({
              error:
                problem instanceof ProblemError
                  ? problem.problem
                  : { what: 'The report could not be made.', where: null, next: 'Try again.' },
            })
          }
          await written
        })
      })
  )
}

/** Reports on record; below /api/reports. */
export function reportRecordRoutes(store: Store) {
  const { location } = store
  const find = async (number: number): Promise<Report> => {
    const report = await store.report(number)
    if (report === null) throw unknownReport(number)
    return report
  }
  const file = async (c: Context, number: number, wanted: FileWanted) => {
    const report = await find(number)
    if (report.version !== REPORT_VERSION && wanted.format !== 'json') throw otherForm(report)
    const bytes = await print(report, wanted)
    await noteCopy(store, report, wanted.format, bytes)
    return sent(c, report, wanted.format, bytes)
  }
  return new Hono()
    .get('/', async (c) => c.json({ reports: await store.reports() } satisfies ReportsView))
    .get(
      '/:report{[0-9]+}/file',
      validated('param', reportNumber),
      validated('query', reportFileQuery),
      async (c) => file(c, c.req.valid('param').report, { ...c.req.valid('query'), logo: null }),
    )
    .post(
      '/:report{[0-9]+}/file',
      bodyLimit({ maxSize: LARGEST_LOGO, onError: tooLarge }),
      validated('param', reportNumber),
      validated('query', reportFileQuery),
      async (c) => {
        const logo = Buffer.from(await c.req.arrayBuffer())
        requirePicture(logo)
        return await file(c, c.req.valid('param').report, { ...c.req.valid('query'), logo })
      },
    )
    .get(
      '/:report{[0-9]+}/record',
      validated('param', reportNumber),
      validated('query', reportRecordQuery),
      async (c) => {
        const { report: number } = c.req.valid('param')
        const shaped = await reportRecord(store, number, c.req.valid('query'))
        if (shaped === null) throw unknownReport(number)
        return c.json(shaped)
      },
    )
    .get('/:report{[0-9]+}/verify', validated('param', reportNumber), async (c) => {
      const { report: number } = c.req.valid('param')
      const verification = await onReportThread({ what: 'verify number', location, number })
      if (verification === null) throw unknownReport(number)
      return c.json(verification)
    })
    .post('/verify', bodyLimit({ maxSize: LARGEST_REPORT, onError: tooLarge }), async (c) => {
      const bytes = new Uint8Array(await c.req.arrayBuffer())
      try {
        return c.json(await onReportThread({ what: 'verify file', location, bytes }))
      } catch (error) {
        throw problemOf(error)
      }
    })
}

async function print(report: Report, wanted: FileWanted): Promise<Uint8Array> {
  return await onReportThread({ what: 'print', report, wanted })
}

function sent(c: Context, report: Report, format: ReportFormat, bytes: Uint8Array) {
  c.header('Content-Type', REPORT_TYPES[format])
  c.header(
    'Content-Disposition',
    `attachment; filename*=UTF-8''${encodeURIComponent(fileNameOf(report, format))}`,
  )
  return c.body(bytes as Uint8Array<ArrayBuffer>)
}

function summaryOf({ number, content, fingerprint, madeBy, madeAt }: Report): ReportSummary {
  return {
    number: number as number,
    title: content.settings.title,
    partNumber: content.partNumber.number,
    revision: content.partNumber.revision,
    fingerprint,
    who: madeBy,
    at: madeAt,
  }
}

/** @throws ProblemError where the logo cannot be printed */
function requirePicture(bytes: Buffer): void {
  try {
    requireLogo(bytes)
  } catch (error) {
    if (!(error instanceof LogoError)) throw error
    throw new ProblemError(400, {
      what: error.message,
      where: null,
      next: 'Save it anew as PNG or JPEG and ask again.',
    })
  }
}

function tooLarge(): never {
  throw new ProblemError(413, {
    what: 'The file is too large.',
    where: null,
    next: 'Send a smaller one.',
  })
}

function problemOf(error: unknown): unknown {
  if (error instanceof UnknownBuildError) {
    return notFound(
      `Build ${error.build} is not among those measured at this stage.`,
      'Pick a build from the chart.',
    )
  }
  if (error instanceof NotAReportError) {
    return new ProblemError(400, {
      what: error.message,
      where: null,
      next: 'Choose the PDF, HTML or JSON file as it was made here.',
    })
  }
  return error
}

function unknownReport(number: number): ProblemError {
  return notFound(`There is no report ${number} on record.`, 'Pick one from the list of reports.')
}

/** A report that another version of the program made, in a form that this one cannot print. */
function otherForm({ number, version }: Report): ProblemError {
  return new ProblemError(422, {
    what: `Report ${number} was made by ${version < REPORT_VERSION ? 'an earlier' : 'a later'} version of the program, in a form that this one does not print.`,
    where: null,
    next: 'The files made of it then are as good as ever, and its figures can be had as JSON. Make the report of the same builds anew for another file.',
  })
}
