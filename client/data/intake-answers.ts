import type {
  Doubt,
  DoubtChoices,
  ImportChoices,
  LayoutChoices,
  Question,
  Reading,
} from '../../server/contract/receipt.ts'

/** Answers to the questions of a file, by the key of the question. */
export type Answers = Readonly<Record<string, string>>

export function questionKey({ about, position }: Question): string {
  return position === null ? about : `${about} ${position}`
}

/** The answers that the form begins with: what is likely, where something is. */
export function firstAnswers(questions: readonly Question[]): Answers {
  return Object.fromEntries(questions.map((question) => [questionKey(question), question.suggested ?? '']))
}

/** What to try the file again with, given what the reader answered and how each column is to be read. */
export function choicesFrom(
  { questions, headingLine }: Pick<Reading, 'questions' | 'headingLine'>,
  answers: Answers,
  columns: Readonly<Record<string, string>>,
): Partial<ImportChoices> {
  const choices: { -readonly [K in keyof ImportChoices]?: ImportChoices[K] } = { preview: false }
  const layout: { -readonly [K in keyof LayoutChoices]: LayoutChoices[K] } = {}
  const roles: Record<string, string> = { ...columns }
  for (const question of questions) {
    const answer = (answers[questionKey(question)] ?? '').trim()
    if (answer === '') continue
    switch (question.about) {
      case 'part-number':
        choices.partNumber = answer
        break
      case 'revision':
        choices.revision = answer
        break
      case 'build':
        choices.build = answer
        break
      case 'date-order':
        layout.dateOrder = answer === 'month-day' ? 'month-day' : 'day-month'
        break
      case 'decimal-mark':
        layout.decimalMark = answer === ',' ? ',' : '.'
        break
      case 'values':
        layout.values = answer === 'deviation' ? 'deviation' : 'actual'
        break
      case 'column':
        roles[String(question.position)] = answer
        break
    }
  }
  if (Object.keys(roles).length > 0) layout.columns = roles
  // Else the first line of values would be taken for headings.
  if (headingLine === 0) layout.headingLine = 0
  if (Object.keys(layout).length > 0) choices.layout = layout
  return choices
}

/** What the columns of a table that is not understood begin with. */
export function likelyColumns({ columns }: Pick<Reading, 'columns'>): Record<string, string> {
  return Object.fromEntries(
    columns.flatMap(({ position, likely }) => (likely === undefined ? [] : [[String(position), likely]])),
  )
}

/** What has to be named still before a table says anything; empty once it does. */
export function stillToName(columns: Readonly<Record<string, string>>): readonly string[] {
  const named = new Set(Object.values(columns))
  const hasOneOf = (...roles: readonly string[]) => roles.some((role) => named.has(role))
  // Several columns of values have the characteristics, or the parts, for their headings.
  const missing: string[] = []
  if (!hasOneOf('values', 'value', 'deviation')) missing.push('the measured value')
  if (!hasOneOf('serial') && !(hasOneOf('values') && hasOneOf('characteristic', 'characteristicName'))) {
    missing.push('the serial number')
  }
  if (!hasOneOf('characteristic', 'characteristicName', 'values')) missing.push('the characteristic')
  return missing
}

/** Names a doubt among those of a file. */
export function doubtKey({ kind, line, position }: Pick<Doubt, 'kind' | 'line' | 'position'>): string {
  return `${kind} ${line ?? ''} ${position ?? ''}`
}

/** The decisions made row by row, as the server takes them; doubts of the file as a whole go by their kind. */
export function doubtChoices(
  doubts: readonly Doubt[],
  decisions: Readonly<Record<string, 'keep' | 'leave-out'>>,
): DoubtChoices {
  const kinds: NonNullable<DoubtChoices['kinds']> = {}
  const rows: NonNullable<DoubtChoices['rows']>[number][] = []
  for (const doubt of doubts) {
    const decision = decisions[doubtKey(doubt)]
    if (decision === undefined) continue
    if (doubt.line === null) Object.assign(kinds, { [doubt.kind]: decision })
    else rows.push({ kind: doubt.kind, line: doubt.line, position: doubt.position, decision })
  }
  return { kinds, rows }
}

/** Choices with further answers: what was said of other columns, and decided of other doubts, holds on. */
export function withAnswers(before: ImportChoices, answers: Partial<ImportChoices>): ImportChoices {
  const columns = { ...before.layout?.columns, ...answers.layout?.columns }
  const layout = {
    ...before.layout,
    ...answers.layout,
    ...(Object.keys(columns).length === 0 ? {} : { columns }),
  }
  const doubts: DoubtChoices = {
    ...before.doubts,
    ...answers.doubts,
    kinds: { ...before.doubts?.kinds, ...answers.doubts?.kinds },
    // Of two decisions on one doubt the later counts.
    rows: [...(before.doubts?.rows ?? []), ...(answers.doubts?.rows ?? [])],
  }
  return {
    ...before,
    ...answers,
    ...(Object.keys(layout).length === 0 ? {} : { layout }),
    ...(before.doubts == null && answers.doubts == null ? {} : { doubts }),
  }
}
