import type { BucketCounts } from '../../src/description/bucket-counts.ts'

/** Bytes before the buckets: the exponent, and the index of the first bucket as a floating-point number. */
const HEAD = 2 + 8
/** Seven bits to a byte: enough for gaps and counts below 2^35. */
const MOST_BYTES = 5

/**
 * Counts in buckets as the database keeps them: a bucket of one value takes one byte where the one before it is
 * near, 2^exponent and the rest as `BucketCounts` has them. Each bucket is a number of 7-bit digits, lowest first,
 * whose last bit says whether a count follows, and whose others are the distance from the bucket before.
 */
export function packBuckets({ exponent, indices, counts }: BucketCounts): Buffer {
  const bytes = Buffer.alloc(HEAD + indices.length * 2 * MOST_BYTES)
  bytes.writeInt16LE(exponent, 0)
  bytes.writeDoubleLE(indices[0] as number, 2)
  let at = HEAD
  const put = (value: number) => {
    let rest = value
    while (rest >= 128) {
      bytes[at++] = (rest % 128) + 128
      rest = Math.floor(rest / 128)
    }
    bytes[at++] = rest
  }
  for (let i = 0; i < indices.length; i++) {
    const gap = i === 0 ? 0 : (indices[i] as number) - (indices[i - 1] as number)
    const count = counts[i] as number
    put(gap * 2 + (count === 1 ? 0 : 1))
    if (count !== 1) put(count)
  }
  return bytes.subarray(0, at)
}

/** The counts that `packBuckets` made the bytes of. */
export function unpackBuckets(bytes: Uint8Array): BucketCounts {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  const exponent = view.getInt16(0, true)
  // A bucket has one byte at least.
  const indices = new Float64Array(bytes.length - HEAD)
  const counts = new Float64Array(bytes.length - HEAD)
  let at = HEAD
  const take = (): number => {
    let value = 0
    for (let unit = 1; ; unit *= 128) {
      const byte = bytes[at++] as number
      value += (byte & 127) * unit
      if (byte < 128) return value
    }
  }
  let index = view.getFloat64(2, true)
  let n = 0
  while (at < bytes.length) {
    const head = take()
    index += Math.floor(head / 2)
    indices[n] = index
    counts[n++] = head % 2 === 0 ? 1 : take()
  }
  return { exponent, indices: indices.subarray(0, n), counts: counts.subarray(0, n) }
}
