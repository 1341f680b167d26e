/**
 * What one line of a file has given a value of. A row with a column for each characteristic may name the same one twice,
 * by its designator and by its name; the store cannot tell such values apart by their line.
 */
export class ValuesOnLine {
  #line = 0
  // Four numbers rather than a key of them: most lines are never asked about again.
  #part = 0
  #characteristic = 0
  #stage = 0
  #replicate = 0
  /** Empty while the line has a single value, as nearly every line of a long file has. */
  readonly #seen = new Set<string>()

  /** Whether the line gives a value of this for the first time; lines come in the order of the file. */
  isFirst(line: number, part: number, characteristic: number, stage: number, replicate: number): boolean {
    if (line !== this.#line) {
      this.#line = line
      this.#part = part
      this.#characteristic = characteristic
      this.#stage = stage
      this.#replicate = replicate
      if (this.#seen.size > 0) this.#seen.clear()
      return true
    }
    if (this.#seen.size === 0) {
      this.#seen.add(`${this.#part}/${this.#characteristic}/${this.#stage}/${this.#replicate}`)
    }
    const before = this.#seen.size
    return this.#seen.add(`${part}/${characteristic}/${stage}/${replicate}`).size > before
  }
}
