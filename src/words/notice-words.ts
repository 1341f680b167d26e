import type { Stage } from '../domain/cell.ts'

/** What an event's notice says, in words that stand on the screen too. */
export interface NoticeWordsInput {
  readonly partNumber: { readonly number: string; readonly revision: string; readonly name: string | null }
  readonly stage: Stage
  readonly sentence: string
  readonly grounds: string
  /** Null where there is nothing to forecast. */
  readonly forecast: string | null
}

/** "HB-204 rev C: Since build 0441 everything along Z comes out small, by 0.12 % ± 0.03." */
export function noticeTitle({
  partNumber,
  sentence,
}: Pick<NoticeWordsInput, 'partNumber' | 'sentence'>): string {
  return `${partNumber.number} rev ${partNumber.revision}: ${sentence}`
}

/**
 * The text of an e-mail.
 *
 * @param page address of the event; null where no link can be made
 * @param settings address where receivers are chosen; null likewise
 */
export function noticeText(input: NoticeWordsInput, page: string | null, settings: string | null): string {
  const { number, revision, name } = input.partNumber
  return paragraphs([
    `${number} rev ${revision}${name === null ? '' : `, ${name}`}, ${input.stage} parts`,
    input.sentence,
    input.grounds,
    input.forecast ?? '',
    page === null ? '' : `Look at it: ${page}`,
    CARE,
    `This is sent once for an event, however long it goes on.${settings === null ? '' : ` Who receives it: ${settings}`}`,
  ])
}

export const TRIAL_TITLE = 'Trial notice: nothing has happened'

export function trialText(who: string, settings: string | null): string {
  return paragraphs([
    `${who} asked for this notice to see whether notices arrive. They do.`,
    settings === null ? '' : `Who receives them: ${settings}`,
  ])
}

const CARE =
  'A notice supports the judgement of whoever is responsible, and does not replace it. The drawing, site rules and safety data sheets govern.'

function paragraphs(texts: readonly string[]): string {
  return `${texts.filter((text) => text !== '').join('\n\n')}\n`
}
