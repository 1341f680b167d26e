import { ArgumentError } from '../errors.ts'

/** Reproducible random numbers: the same seed gives the same numbers on every machine. */
export interface RandomSource {
  /** Uniform above 0 and below 1, in steps of 2^−32. */
  uniform(): number
  /** Whole number from 0 up to, and not including, `below`, which is at most 2^32. */
  integer(below: number): number
}

/** One step of splitmix64 (G. L. Steele, D. Lea and C. H. Flood, OOPSLA 2014), which spreads a seed over a state. */
function splitmix64(counter: bigint): bigint {
  let z = BigInt.asUintN(64, counter)
  z = BigInt.asUintN(64, (z ^ (z >> 30n)) * 0xbf58476d1ce4e5b9n)
  z = BigInt.asUintN(64, (z ^ (z >> 27n)) * 0x94d049bb133111ebn)
  return z ^ (z >> 31n)
}

/**
 * Generator xoshiro128** with its state filled by splitmix64, as its authors advise.
 * Source: D. Blackman and S. Vigna, Scrambled linear pseudorandom number generators, ACM Transactions on Mathematical
 * Software 47 (2021), 36.
 *
 * @param seed whole number
 * @throws ArgumentError where the seed is not a safe integer
 */
export function randomSource(seed: number): RandomSource {
  if (!Number.isSafeInteger(seed)) throw new ArgumentError('seed', `must be a whole number, not ${seed}`)
  const golden = 0x9e3779b97f4a7c15n
  const first = splitmix64(BigInt(seed) + golden)
  const second = splitmix64(BigInt(seed) + 2n * golden)
  let a = Number(first & 0xffffffffn) | 0
  let b = Number(first >> 32n) | 0
  let c = Number(second & 0xffffffffn) | 0
  let d = Number(second >> 32n) | 0
  const next = () => {
    const x = Math.imul(b, 5)
    const result = Math.imul((x << 7) | (x >>> 25), 9) >>> 0
    const t = b << 9
    c ^= a
    d ^= b
    b ^= c
    a ^= d
    c ^= t
    d = (d << 11) | (d >>> 21)
    return result
  }
  return {
    uniform: () => (next() + 0.5) / 4294967296,
    // Unequal by at most below / 2^32: nothing for the sizes of samples.
    integer: (below) => Math.floor((next() / 4294967296) * below),
  }
}
