import type { ReceiptNote } from '../contract/receipt.ts'

/** Names that a note spells out before it only counts. */
const SPELT_OUT = 12

/** What a file added or changed, gathered by what happened to what, so that one note says it of many. */
export class Notes {
  readonly #gathered = new Map<string, Set<string>>()
  readonly #texts: string[] = []

  /** `sentence` says it of one or many, with the names put in the place of "…". */
  gather(sentence: string, name: string): void {
    let names = this.#gathered.get(sentence)
    if (names === undefined) {
      names = new Set()
      this.#gathered.set(sentence, names)
    }
    names.add(name)
  }

  say(text: string): void {
    this.#texts.push(text)
  }

  all(): ReceiptNote[] {
    const notes = this.#texts.map((text) => ({ text }))
    for (const [sentence, names] of this.#gathered) {
      const all = [...names]
      const shown = all.slice(0, SPELT_OUT).join(', ')
      const more = all.length > SPELT_OUT ? ` and ${all.length - SPELT_OUT} more` : ''
      notes.push({ text: sentence.replace('…', () => shown + more) })
    }
    return notes
  }
}
