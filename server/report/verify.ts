import { createHash } from 'node:crypto'
import { capitalise, countOf, formatCount } from '../../src/words/format.ts'
import { fingerprintOf } from '../canonical.ts'
import {
  REPORT_VERSION,
  type Report,
  type ReportChange,
  type ReportContent,
  type ReportSummary,
  type Verification,
} from '../contract/report.ts'
import type { Store } from '../store/store.ts'
import { reportIn } from './attached.ts'
import { reportChanges } from './compare.ts'
import { erasureGrounds } from './erasure-grounds.ts'
import { reportContent, UnknownBuildError } from './report-data.ts'
import { momentText } from './report-text.ts'

/** Changes that an answer lists at most. */
const MOST_CHANGES = 500

/**
 * Whether a file made of a report still says what the data say, and whether it is as it was made.
 *
 * @throws NotAReportError where the file holds no report
 */
export async function verifyFile(store: Store, bytes: Buffer): Promise<Verification> {
  const report = reportIn(bytes)
  const copy = await store.reportCopy(createHash('sha256').update(bytes).digest('hex'))
  const kept = report.number === null ? null : await store.report(report.number)
  const grounds: string[] = []
  if (fingerprintOf(report.content) !== report.fingerprint) {
    return altered(
      report,
      'The figures in this file do not have the fingerprint that the file states: it was changed after it was made.',
    )
  }
  if (kept === null) {
    grounds.push(
      report.number === null
        ? 'It was made for a look and is not on record here; its figures were compared all the same.'
        : `No report ${report.number} is on record here; its figures were compared all the same.`,
    )
  } else if (kept.fingerprint !== report.fingerprint || kept.madeAt !== report.madeAt) {
    return altered(
      report,
      `Report ${report.number} on record here is another one: it has the fingerprint ${kept.fingerprint}, made ${momentText(kept.madeAt)} by ${kept.madeBy}.`,
    )
  }
  if (copy !== null) grounds.push(`The file is byte for byte as it was made here on ${momentText(copy.at)}.`)
  else if (kept !== null) {
    grounds.push(
      'The file is not byte for byte one that was made here: what is printed on its pages may not be what is attached to it. Only what is attached was compared.',
    )
  }
  return await compare(store, report, grounds)
}

/** Whether a report on record still says what the data say; null where there is none of this number. */
export async function verifyNumber(store: Store, number: number): Promise<Verification | null> {
  const report = await store.report(number)
  if (report === null) return null
  return fingerprintOf(report.content) === report.fingerprint
    ? await compare(store, report, [])
    : altered(
        report,
        'The report on record does not have its fingerprint: the database was changed by another program.',
      )
}

async function compare(store: Store, report: Report, grounds: string[]): Promise<Verification> {
  const { content, fingerprint, version } = report
  if (version !== REPORT_VERSION) {
    return answer(
      'unknown',
      report,
      `This report was made by ${version < REPORT_VERSION ? 'an earlier' : 'a later'} version of the program, which stated its figures in another form.`,
      [
        ...grounds,
        'It has the fingerprint that it was made with, so it is as it was made; its figures were not compared with the data. Make a report of the same builds anew, and compare the two.',
      ],
      [],
    )
  }
  const { number, revision } = content.partNumber
  const partNumber = await store.partNumber(number, revision)
  if (partNumber === null) {
    return answer(
      'unknown',
      report,
      `Part number ${number}, revision ${revision}, is not known here.`,
      grounds,
      [],
    )
  }
  grounds.push(...(await erasureGrounds(store, partNumber.id, report)))
  try {
    const now = await reportContent(store, partNumber, content.settings)
    if (fingerprintOf(now) === fingerprint) {
      return answer(
        'follows',
        report,
        'Everything in this report follows from the data on record.',
        [
          ...grounds,
          `Computed anew just now from ${formatCount(now.span?.values ?? 0)} values; the fingerprint is the same, ${fingerprint}.`,
        ],
        [],
      )
    }
    const { figures, measuring, since } = reportChanges(content, now)
    grounds.push(...since)
    const changes = [...figures, ...measuring, ...(await recordChanges(store, content))]
    if (changes.length === 0) {
      return answer(
        'follows',
        report,
        'Everything in this report follows from the data on record.',
        [
          ...grounds,
          since.length > 0
            ? 'Computed anew just now: its figures are the same.'
            : 'Computed anew just now; what it states is the same but for the last digits of sums, or stands in less detail than now.',
        ],
        [],
      )
    }
    const about = new Set(changes.map(({ where }) => where)).size
    return answer(
      'changed',
      report,
      changedText(figures.length, measuring.length),
      [
        ...grounds,
        `What changed since ${momentText(report.madeAt)} stands below, on ${countOf(about, 'matter')}.`,
      ],
      changes,
    )
  } catch (error) {
    if (!(error instanceof UnknownBuildError)) throw error
    return answer(
      'changed',
      report,
      'The builds that this report speaks of are not on record any more.',
      grounds,
      [{ where: `build ${error.build}`, what: 'build', was: 'measured', is: null }],
    )
  }
}

/** Whether the record up to the last entry that a report names is the one that it was made on. */
async function recordChanges(store: Store, { record: { last } }: ReportContent): Promise<ReportChange[]> {
  if (last === null) return []
  const [entry] = await store.recordEntries({}, 1, last.sequence + 1)
  const is = entry?.sequence === last.sequence ? entry.hash : null
  return is === last.hash
    ? []
    : [{ where: 'the record', what: `hash of entry ${last.sequence}`, was: last.hash, is }]
}

/** How many figures do not follow, and apart from them how much of what is said of measuring. */
function changedText(figures: number, measuring: number): string {
  const not = (count: number) => (count === 1 ? 'does not' : 'do not')
  const ofMeasuring = `${countOf(measuring, 'statement')} about measuring`
  if (figures === 0) {
    return `The figures of this report follow from the data on record; ${ofMeasuring} ${not(measuring)} any more.`
  }
  const apart =
    measuring === 0 ? '' : ` Apart from them, neither ${measuring === 1 ? 'does' : 'do'} ${ofMeasuring}.`
  return `${capitalise(countOf(figures, 'statement'))} of this report ${not(figures)} follow from the data as they are now.${apart}`
}

function altered(report: Report, what: string): Verification {
  return answer('altered', report, what, ['Its figures were not compared with the data.'], [])
}

function answer(
  verdict: Verification['verdict'],
  report: Report,
  said: string,
  grounds: readonly string[],
  changes: readonly ReportChange[],
): Verification {
  return {
    verdict,
    said,
    grounds,
    report: summaryOf(report),
    changes: changes.slice(0, MOST_CHANGES),
    changeCount: changes.length,
  }
}

/** One line about a report; null for one without a number. */
function summaryOf({ number, content, fingerprint, madeBy, madeAt }: Report): ReportSummary | null {
  if (number === null) return null
  return {
    number,
    title: content.settings.title,
    partNumber: content.partNumber.number,
    revision: content.partNumber.revision,
    fingerprint,
    who: madeBy,
    at: madeAt,
  }
}
