import { meaningsOf } from '../headings.ts'
import type { Meaning } from '../meaning.ts'

/** What a line above a table can say of all rows below it. */
export const CONTEXT_MEANINGS: ReadonlySet<Meaning> = new Set([
  'partNumber',
  'revision',
  'partName',
  'serial',
  'build',
  'furnaceLoad',
  'tray',
  'trayPlace',
  'unit',
  'stage',
  'replicate',
  'measuredAt',
  'timeOfDay',
  'gauge',
  'inspector',
])

/** What a line above a gauge study can say of all of its readings. */
export const STUDY_CONTEXT_MEANINGS: ReadonlySet<Meaning> = new Set([
  'partNumber',
  'revision',
  'characteristic',
  'characteristicName',
  'gauge',
  'inspector',
  'unit',
  'measuredAt',
])

/** What holds for one part only, and not for the next block. */
const OF_ONE_PART: readonly Meaning[] = ['serial', 'tray', 'trayPlace', 'replicate', 'timeOfDay']

/** Labels with their values, as they stand on one line. */
export type LabelPairs = readonly (readonly [Meaning, string])[]

/**
 * What a line of labels and values says: `Serial: S1`, `Serial;S1`, `Serial;S1;Build;B1`. Null where it is no
 * such line. A label that is not known is passed over only where a colon shows that it is one.
 *
 * @param choose picks among the meanings that a label may have; the first unless said otherwise
 * @param meanings those that a label can have here
 */
export function labelPairs(
  record: readonly string[],
  choose: (label: string, possible: readonly Meaning[]) => Meaning = (_, possible) => possible[0] as Meaning,
  meanings: ReadonlySet<Meaning> = CONTEXT_MEANINGS,
): LabelPairs | null {
  const cells = record.map((cell) => cell.trim())
  const pairs: [Meaning, string][] = []
  const meaningOf = (label: string): Meaning | null => {
    const possible = meaningsOf(label).filter(
      (meaning) => meanings.has(meaning) && !pairs.some(([other]) => other === meaning),
    )
    return possible.length === 0 ? null : choose(label, possible)
  }
  let sawColon = false
  for (let i = 0; i < cells.length; i++) {
    const cell = cells[i] as string
    if (cell === '') continue
    const match = /^([^:=]{1,60}?)\s*[:=]\s*(.*)$/s.exec(cell)
    const meaning = meaningOf(match === null ? cell : (match[1] as string))
    if (match === null && meaning === null) {
      // Free text behind a label is no harm; a line that begins with it is something else.
      if (sawColon) continue
      return null
    }
    if (match !== null) sawColon = true
    let value = match?.[2] ?? ''
    if (value === '') {
      let next = i + 1
      while (next < cells.length && cells[next] === '') next++
      const following = cells[next] ?? ''
      if (match === null && meaningsOf(following).length > 0) return null
      if (following === '') {
        if (match === null) return null
        continue
      }
      value = following
      i = next
    }
    if (meaning !== null) pairs.push([meaning, value])
  }
  return pairs.length === 0 ? null : pairs
}

/** What the lines above the rows say, kept up while blocks follow one another. */
export class Context {
  readonly #texts = new Map<Meaning, string>()
  /** A label means the same all over a file. */
  readonly #meant = new Map<string, Meaning>()
  readonly #meanings: ReadonlySet<Meaning>
  #inHeading = true

  constructor(meanings: ReadonlySet<Meaning> = CONTEXT_MEANINGS) {
    this.#meanings = meanings
  }

  get texts(): ReadonlyMap<Meaning, string> {
    return this.#texts
  }

  text(meaning: Meaning): string {
    return this.#texts.get(meaning) ?? ''
  }

  /** True where the record was a line of labels, which holds from here on. */
  take(record: readonly string[]): boolean {
    const pairs = labelPairs(
      record,
      (label, possible) => {
        const before = this.#meant.get(label)
        if (before !== undefined && possible.includes(before)) return before
        // "Part" is the part number, unless a line above has given one.
        const meaning = possible.find((m) => !this.#texts.has(m)) ?? (possible[0] as Meaning)
        this.#meant.set(label, meaning)
        return meaning
      },
      this.#meanings,
    )
    if (pairs === null) return false
    if (!this.#inHeading) {
      this.#inHeading = true
      for (const meaning of OF_ONE_PART) this.#texts.delete(meaning)
    }
    for (const [meaning, text] of pairs) this.#texts.set(meaning, text)
    return true
  }

  /** A row of values has come: the next label begins another block. */
  endHeading(): void {
    this.#inHeading = false
  }
}

/** A line that says nothing of the parts: "# exported by station 2". */
export function isComment(record: readonly string[]): boolean {
  const first = (record[0] ?? '').trimStart()
  return first.startsWith('#') && !/^#\d*$/.test(first.trim()) && !/^#\d+\b/.test(first)
}

export function isBlank(record: readonly string[]): boolean {
  return record.every((text) => text.trim() === '')
}
