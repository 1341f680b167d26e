/**
 * A sentence made from data: runs of text, some with a role that the reader can see (colour and weight) or follow.
 * Kept as data so that the screen, the report and the tests read the same words.
 */
export interface Phrase {
  readonly text: string
  readonly role?: 'under' | 'over' | 'mark' | 'strong'
}

export type Sentence = readonly Phrase[]

/** The words alone, for titles, tables and tests. */
export function plain(sentence: Sentence): string {
  return sentence.map((phrase) => phrase.text).join('')
}
