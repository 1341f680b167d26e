import type { Doubt, ImportVerdict, Receipt } from './contract/receipt.ts'

/** Refused rows that the text spells out; the receipt as JSON has all of them. */
const SPELT_OUT = 200

const VERDICT_IN_WORDS: Readonly<Record<ImportVerdict, string>> = {
  taken: 'Taken in.',
  'taken-in-part': 'Taken in without the rows that are refused below.',
  refused: 'Refused. Nothing was changed.',
  known: 'Known already: the same bytes were taken in before. Nothing was changed.',
  cancelled: 'Stopped by hand. Nothing was changed.',
  asking: 'Not taken in: questions wait for an answer. Nothing was changed.',
}

const DECISION_IN_WORDS: Readonly<Record<Doubt['decision'], string>> = {
  waiting: 'It waits for a decision.',
  kept: 'Kept as measured.',
  'left-out': 'Left out.',
}

/** A receipt as plain text to read, for a terminal or a file beside the one that was brought. */
export function receiptText(receipt: Receipt): string {
  const lines = [receipt.fileName, VERDICT_IN_WORDS[receipt.verdict]]
  const say = (label: string, text: string | number | null) => {
    if (text !== null && text !== '') lines.push(`${label.padEnd(18)} ${text}`)
  }
  say('Import', receipt.importId ?? receipt.earlierImportId)
  say('Brought by', receipt.who)
  say('At', new Date(receipt.at * 1000).toISOString().replace('.000', ''))
  say('SHA-256', receipt.sha256)
  say('Bytes', receipt.bytes)
  say('Read as', receipt.dialect)
  say(
    'Part numbers',
    receipt.partNumbers.map(({ number, revision }) => `${number} ${revision}`).join(', ') || null,
  )
  if (receipt.verdict !== 'known') {
    say('Rows read', receipt.rowsRead)
    say('Rows taken', receipt.rowsTaken)
    say('Rows refused', receipt.rowsRefused)
  }
  if (receipt.importId !== null) say('Out of spec.', receipt.outOfSpecification)
  if (receipt.insideUncertainty !== undefined) say('Not proved', receipt.insideUncertainty)
  if (receipt.problem !== null) {
    const { what, where, next } = receipt.problem
    lines.push('', where === null ? what : `${what} (${where})`, next)
  }
  const questions = receipt.reading?.questions ?? []
  if (questions.length > 0) lines.push('', 'Questions:', ...questions.map(({ text }) => `- ${text}`))
  const doubts = receipt.doubts ?? []
  if (doubts.length > 0) {
    lines.push('', 'Doubts:')
    for (const { line, text, decision } of doubts.slice(0, SPELT_OUT)) {
      lines.push(`- ${line === null ? '' : `line ${line}: `}${text} ${DECISION_IN_WORDS[decision]}`)
    }
    if (doubts.length > SPELT_OUT) lines.push(`and ${doubts.length - SPELT_OUT} more`)
  }
  if (receipt.notes.length > 0) lines.push('', ...receipt.notes.map(({ text }) => `- ${text}`))
  if (receipt.refused.length > 0) {
    lines.push('', 'Refused rows:')
    for (const { line, column, value, reason } of receipt.refused.slice(0, SPELT_OUT)) {
      const where = column === null ? `line ${line}` : `line ${line}, ${column}`
      lines.push(value === '' ? `${where}: ${reason}` : `${where}: "${value}". ${reason}`)
    }
    const more = receipt.refused.length - SPELT_OUT
    if (more > 0) lines.push(`and ${more} more`)
  }
  return `${lines.join('\n')}\n`
}
