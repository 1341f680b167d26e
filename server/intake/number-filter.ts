/** Places of the filter: two mebibytes, in which a million numbers leave one in some hundreds of others in doubt. */
const BITS = 2 ** 24
/** Places looked at for each number. */
const LOOKS = 4

/**
 * A set of 32-bit numbers that takes the same little memory however many are in it, and in return errs to one side:
 * what was put in is always said to be there, and now and then what was not (B. H. Bloom, Communications of the ACM
 * 13 (1970), 422–426).
 */
export class NumberFilter {
  readonly #words = new Int32Array(BITS / 32)

  add(number: number): void {
    const step = stepOf(number)
    for (let i = 0, at = number; i < LOOKS; i++, at += step) {
      const bit = at & (BITS - 1)
      this.#words[bit >> 5] = (this.#words[bit >> 5] as number) | (1 << (bit & 31))
    }
  }

  mayHave(number: number): boolean {
    const step = stepOf(number)
    for (let i = 0, at = number; i < LOOKS; i++, at += step) {
      const bit = at & (BITS - 1)
      if (((this.#words[bit >> 5] as number) & (1 << (bit & 31))) === 0) return false
    }
    return true
  }

  clear(): void {
    this.#words.fill(0)
  }
}

/** A second number made of the first, odd, so that the places looked at are all different. */
function stepOf(number: number): number {
  const mixed = Math.imul(number ^ (number >>> 16), 0x85ebca6b)
  return (mixed ^ (mixed >>> 13)) | 1
}

/** A 32-bit number made of a text and a number before it: FNV-1a of Fowler, Noll and Vo. */
export function numberOf(before: number, text: string): number {
  let hash = 0x811c9dc5 ^ before
  for (let i = 0; i < text.length; i++) hash = Math.imul(hash ^ text.charCodeAt(i), 0x01000193)
  return hash
}
