import { readFileSync, writeFileSync } from 'node:fs'
import { userInfo } from 'node:os'
import { newReport, reportFileQuery } from '../contract/report-requests.ts'
import { PLACE_OPTIONS, placeOf } from '../options.ts'
import { LogoError, requireLogo } from '../report/logo.ts'
import { drawUpReport, fileNameOf, keepReport, noteCopy, reportFile } from '../report/make-report.ts'
import { UnknownBuildError } from '../report/report-data.ts'
import { openStore } from '../store/store.ts'
import { acceptedBy, parseOptions } from './parse-options.ts'
import { patientStore } from './patient-store.ts'
import { type Terminal, UsageError } from './terminal.ts'

/**
 * Make a report, keep it on record and write it to a file.
 *
 * @returns the status to end with
 * @throws UsageError
 */
export async function reportCommand(args: string[], terminal: Terminal): Promise<number> {
  const { values, positionals } = parse(args)
  const [number, revision] = positionals
  if (number === undefined || revision === undefined || positionals.length > 2) {
    throw new UsageError('report takes a part number and its revision.')
  }
  const { who, ...wanted } = acceptedBy(
    newReport.safeParse({ ...values, who: values.who ?? userInfo().username }),
  )
  const file = acceptedBy(reportFileQuery.safeParse(values))
  const logo = values.logo === undefined ? null : logoIn(values.logo)
  const opened = await openStore(placeOf(values, terminal.environment).database)
  try {
    const store = patientStore(opened, terminal.err)
    const partNumber = await store.partNumber(number, revision)
    if (partNumber === null) {
      terminal.err(`Part number ${number}, revision ${revision}, is not known.`)
      return 1
    }
    const report = await keepReport(store, partNumber, await drawUpReport(store, partNumber, wanted, who))
    const bytes = await reportFile(report, { ...file, logo })
    await noteCopy(store, report, file.format, bytes)
    const path = values.out ?? fileNameOf(report, file.format)
    writeFileSync(path, bytes)
    terminal.out(`Report ${report.number}, fingerprint ${report.fingerprint}: ${path}`)
    terminal.out(report.content.headline)
    return 0
  } catch (error) {
    if (!(error instanceof UnknownBuildError)) throw error
    terminal.err(error.message)
    return 1
  } finally {
    await opened.close()
  }
}

/** Read and looked at before anything is made, so that no number is given to a report that cannot be printed. */
function logoIn(path: string): Buffer {
  let bytes: Buffer
  try {
    bytes = readFileSync(path)
  } catch (error) {
    throw new UsageError(`The logo cannot be read: ${(error as Error).message}.`)
  }
  try {
    requireLogo(bytes)
  } catch (error) {
    if (error instanceof LogoError) throw new UsageError(error.message)
    throw error
  }
  return bytes
}

function parse(args: string[]) {
  return parseOptions({
    args,
    allowPositionals: true,
    options: {
      ...PLACE_OPTIONS,
      who: { type: 'string' },
      stage: { type: 'string' },
      required: { type: 'string' },
      confidence: { type: 'string' },
      last: { type: 'string' },
      from: { type: 'string' },
      to: { type: 'string' },
      title: { type: 'string' },
      format: { type: 'string' },
      paper: { type: 'string' },
      logo: { type: 'string' },
      out: { type: 'string' },
    },
  })
}
