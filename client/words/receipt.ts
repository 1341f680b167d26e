import type { FileKind, ImportVerdict, Receipt } from '../../server/contract/receipt.ts'
import { formatCount } from '../../src/words/format.ts'
import type { Phrase, Sentence } from '../../src/words/sentence.ts'
import { bytesText, counted, timeText } from './quantities.ts'

const KIND: Readonly<Record<FileKind, string>> = {
  measurements: 'measurements',
  characteristics: 'characteristics',
  builds: 'builds',
  'furnace-loads': 'furnace loads',
  'gauge-study': 'gauge study',
  gauges: 'register of gauges',
}

/** Who handed a file in, where nobody said so; the server writes the same. */
export const NOT_NAMED = 'not named'

/** What a file held, in the words of the trade. */
export function kindText(kind: FileKind | null): string {
  return kind === null ? 'not recognised' : KIND[kind]
}

const VERDICT: Readonly<Record<ImportVerdict, string>> = {
  taken: 'taken in',
  'taken-in-part': 'taken in, in part',
  refused: 'refused',
  known: 'on record before',
  cancelled: 'stopped',
  asking: 'waiting for a decision',
}

/** The verdict in two or three words, for lists. */
export function verdictText(verdict: ImportVerdict): string {
  return VERDICT[verdict]
}

/** What came of the file, as the sentence that the receipt opens with. */
export function receiptHeadline(receipt: Receipt): Sentence {
  const { verdict, rowsRead, rowsTaken, rowsRefused, fileName } = receipt
  const leftOut = receipt.rowsLeftOut ?? 0
  if (receipt.withdrawn !== undefined) {
    return [
      { text: fileName, role: 'strong' },
      { text: ' was ' },
      { text: 'withdrawn', role: 'mark' },
      { text: `: its ${counted(rowsTaken, 'row')} ${rowsTaken === 1 ? 'counts' : 'count'} no more.` },
    ]
  }
  switch (verdict) {
    case 'taken':
      return leftOut > 0
        ? [
            { text: `${formatCount(rowsTaken)} of ${counted(rowsRead, 'row')} of ` },
            { text: fileName, role: 'strong' },
            { text: ` ${rowsTaken === 1 ? 'is' : 'are'} in; ${leftOutWords(leftOut)}.` },
          ]
        : [
            { text: rowsTaken === 1 ? 'The one row of ' : `All ${counted(rowsTaken, 'row')} of ` },
            { text: fileName, role: 'strong' },
            { text: rowsTaken === 1 ? ' is in.' : ' are in.' },
          ]
    case 'taken-in-part':
      return [
        { text: `${counted(rowsTaken, 'row')} of ` },
        { text: fileName, role: 'strong' },
        { text: ` ${rowsTaken === 1 ? 'is' : 'are'} in; ` },
        {
          text: `${counted(rowsRefused, 'row')} ${rowsRefused === 1 ? 'was' : 'were'} refused`,
          role: 'mark',
        },
        { text: leftOut > 0 ? `, and ${leftOutWords(leftOut)}.` : '.' },
      ]
    case 'refused':
      return [
        { text: 'Nothing of ' },
        { text: fileName, role: 'strong' },
        { text: ' was taken in: ' },
        receipt.problem !== null
          ? { text: lowerFirst(receipt.problem.what), role: 'mark' }
          : {
              text: `${formatCount(rowsRefused)} of ${counted(rowsRead, 'row')} cannot be taken as they stand.`,
              role: 'mark',
            },
      ]
    case 'asking':
      return [{ text: fileName, role: 'strong' }, { text: `${waitsFor(receipt)} Nothing was changed.` }]
    case 'known':
      return [
        { text: fileName, role: 'strong' },
        { text: ' was taken in before, byte for byte. Nothing was changed.' },
      ]
    case 'cancelled':
      return [{ text: fileName, role: 'strong' }, { text: ' was stopped by hand. Nothing was changed.' }]
  }
}

function leftOutWords(leftOut: number): string {
  return `${counted(leftOut, 'row')} ${leftOut === 1 ? 'was' : 'were'} left out, as decided`
}

/** What a file that is not taken in yet needs from whoever brought it. */
function waitsFor({ doubts, reading }: Receipt): string {
  const open = doubts?.filter(({ waits, decision }) => waits && decision === 'waiting').length ?? 0
  if (open > 0) {
    const one = open === 1
    return ` waits for you to decide on ${one ? 'one doubt' : `${counted(open, 'doubt')}`}: keep ${one ? 'it' : 'each'} as measured, or leave it out.`
  }
  const asked = reading?.questions.filter(({ waits }) => waits).length ?? 0
  if (asked > 0) return ` waits for ${asked === 1 ? 'one answer' : `${counted(asked, 'answer')}`} below.`
  return ' is read as shown below, and waits for you to take it in.'
}

/** What the verdict rests on: kind, dialect, size, who and when. */
export function receiptGrounds(receipt: Receipt): Sentence {
  const parts: Phrase[] = []
  if (receipt.kind !== null) parts.push({ text: `Read as ${kindText(receipt.kind)}` })
  if (receipt.dialect !== null)
    parts.push({ text: `${parts.length === 0 ? 'Read as ' : ', '}${receipt.dialect}` })
  if (parts.length > 0) parts.push({ text: '. ' })
  const rows = receipt.rowsRead === 0 ? '' : `${counted(receipt.rowsRead, 'row')}, `
  const who = receipt.who === NOT_NAMED ? 'without a name' : `by ${receipt.who}`
  parts.push({ text: `${rows}${bytesText(receipt.bytes)}, handed in ${who} on ${timeText(receipt.at)}. ` })
  if (receipt.withdrawn !== undefined) {
    const { who, at, reason } = receipt.withdrawn
    parts.push({
      text: `Withdrawn by ${who} on ${timeText(at)}: ${reason.replace(/[.\s]+$/, '')}. It stands below as it was taken in; the same file can be brought again. `,
    })
  }
  if (receipt.outOfSpecification > 0) {
    const count = receipt.outOfSpecification
    parts.push({
      text: `${counted(count, 'value')} ${count === 1 ? 'lies' : 'lie'} outside the specification limits.`,
      role: 'mark',
    })
  }
  return parts
}

function lowerFirst(text: string): string {
  // A word in capitals, such as CSV or UTF-8, keeps them.
  return /^[A-Z][a-z]/.test(text) ? text.charAt(0).toLowerCase() + text.slice(1) : text
}
