/**
 * Random numbers that come out the same to the last bit on every machine. Only integer operations, comparisons
 * and the four exactly rounded operations of IEEE 754 are used: Math.log, Math.cos and their like may differ
 * between engines, so the usual ways to a normal deviate are not open here.
 */

const MASK_64 = 0xffffffffffffffffn

/** One step of splitmix64 (Steele, Lea and Flood 2014): a well mixed 64-bit number from a counter. */
export function splitmix64(counter: bigint): bigint {
  let z = (counter + 0x9e3779b97f4a7c15n) & MASK_64
  z = ((z ^ (z >> 30n)) * 0xbf58476d1ce4e5b9n) & MASK_64
  z = ((z ^ (z >> 27n)) * 0x94d049bb133111ebn) & MASK_64
  return z ^ (z >> 31n)
}

/** FNV-1a over the UTF-16 units of a text, 64 bits. */
function hash(text: string): bigint {
  let h = 0xcbf29ce484222325n
  for (let i = 0; i < text.length; i++) h = ((h ^ BigInt(text.charCodeAt(i))) * 0x100000001b3n) & MASK_64
  return h
}

/** Generator xoshiro128** of Blackman and Vigna (2018), with the draws that the shop needs. */
export class Random {
  private readonly s: Uint32Array

  /** `state`: four 32-bit words, not all zero. */
  constructor(state: readonly [number, number, number, number]) {
    this.s = Uint32Array.from(state)
  }

  /**
   * The stream of one purpose. Streams of different names are independent of one another, so that one part of
   * the shop can change without moving the draws of another.
   */
  static stream(seed: number, name: string): Random {
    const a = splitmix64((BigInt(seed) ^ hash(name)) & MASK_64)
    const b = splitmix64(a)
    const low = (v: bigint) => Number(v & 0xffffffffn)
    return new Random([low(a), low(a >> 32n), low(b), low(b >> 32n)])
  }

  /** Next 32 bits as an integer from 0 to 2^32 − 1. */
  next(): number {
    const s = this.s as Uint32Array & { 0: number; 1: number; 2: number; 3: number }
    const x = Math.imul(s[1], 5)
    const result = Math.imul((x << 7) | (x >>> 25), 9) >>> 0
    const t = s[1] << 9
    s[2] ^= s[0]
    s[3] ^= s[1]
    s[1] ^= s[2]
    s[0] ^= s[3]
    s[2] ^= t
    s[3] = (s[3] << 11) | (s[3] >>> 21)
    return result
  }

  /** Uniform on [0, 1), in steps of 2^−53. */
  uniform(): number {
    return ((this.next() >>> 5) * 67108864 + (this.next() >>> 6)) / 9007199254740992
  }

  /** Whole number from `from` to `to`, both included. */
  integer(from: number, to: number): number {
    return from + Math.floor(this.uniform() * (to - from + 1))
  }

  /** One of `items`, all equally likely; `items` must not be empty. */
  pick<T>(items: readonly T[]): T {
    return items[this.integer(0, items.length - 1)] as T
  }

  /** `count` different items of `items` in random order (Fisher and Yates). */
  sample<T>(items: readonly T[], count: number): T[] {
    const pool = [...items]
    for (let i = 0; i < count; i++) {
      const j = this.integer(i, pool.length - 1)
      const chosen = pool[j] as T
      pool[j] = pool[i] as T
      pool[i] = chosen
    }
    return pool.slice(0, count)
  }

  /**
   * Standard normal deviate. An exponential deviate x is kept with probability exp(−(x − 1)²/2), which leaves
   * the half-normal distribution; both steps need comparisons only (von Neumann 1951).
   */
  normal(): number {
    for (;;) {
      const x = this.exponential()
      if (this.chanceExpMinus(((x - 1) * (x - 1)) / 2)) return this.uniform() < 0.5 ? -x : x
    }
  }

  /** Exponential deviate of mean 1: whole part from the failed rounds, fraction from the first uniform. */
  private exponential(): number {
    for (let whole = 0; ; whole++) {
      const fraction = this.uniform()
      if (this.descentIsEven(fraction)) return whole + fraction
    }
  }

  /** True with probability exp(−y), for y ≥ 0. */
  private chanceExpMinus(y: number): boolean {
    let rest = y
    for (; rest > 1; rest--) if (!this.descentIsEven(1)) return false
    return this.descentIsEven(rest)
  }

  /**
   * Draws uniforms as long as each is below the one before, beginning below `start` in [0, 1]. The number that
   * are is even with probability 1 − y + y²/2! − … = exp(−y).
   */
  private descentIsEven(start: number): boolean {
    let even = true
    let last = start
    for (;;) {
      const u = this.uniform()
      if (u >= last) return even
      last = u
      even = !even
    }
  }
}
