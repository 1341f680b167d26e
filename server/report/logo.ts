import { inflateSync } from 'node:zlib'

/** A file that cannot be printed as a logo, and why, in a sentence. */
export class LogoError extends Error {
  override readonly name = 'LogoError'
}

/** More pixels than a page has use for; unpacked they would fill the memory. */
const MOST_PIXELS = 16e6

const PNG = Buffer.from([0x89, 0x50, 0x4e, 0x47, 13, 10, 26, 10])
const JPEG = Buffer.from([0xff, 0xd8, 0xff])

/**
 * Makes sure that a logo is a picture that can be printed, before anything is made of it.
 *
 * @throws LogoError where it is neither PNG nor JPEG, damaged, or has more than 16 million pixels
 */
export function requireLogo(bytes: Buffer): void {
  if (bytes.subarray(0, PNG.length).equals(PNG)) requirePng(bytes)
  else if (bytes.subarray(0, JPEG.length).equals(JPEG)) requireJpeg(bytes)
  else throw new LogoError('The logo is neither a PNG nor a JPEG file.')
}

const DAMAGED = 'The logo is damaged: it is not a whole picture.'

function requireSize(width: number, height: number): void {
  if (width === 0 || height === 0) throw new LogoError(DAMAGED)
  if (width * height > MOST_PIXELS) {
    throw new LogoError(`The logo has ${width} × ${height} pixels, which is more than can be printed.`)
  }
}

/** Samples of a pixel by type of colour: PNG (ISO/IEC 15948), 11.2.2. */
const SAMPLES: Readonly<Record<number, number>> = { 0: 1, 2: 3, 3: 1, 4: 2, 6: 4 }

function requirePng(bytes: Buffer): void {
  const pieces = new Map<string, Buffer[]>()
  for (let at = PNG.length; at + 12 <= bytes.length; ) {
    const length = bytes.readUInt32BE(at)
    const kind = bytes.toString('latin1', at + 4, at + 8)
    const data = bytes.subarray(at + 8, at + 8 + length)
    if (data.length < length) break
    pieces.set(kind, [...(pieces.get(kind) ?? []), data])
    at += 12 + length
    if (kind === 'IEND') break
  }
  const [head] = pieces.get('IHDR') ?? []
  if (head === undefined || head.length < 13 || !pieces.has('IEND')) throw new LogoError(DAMAGED)
  const [width, height] = [head.readUInt32BE(0), head.readUInt32BE(4)]
  requireSize(width, height)
  const [depth, colour, interlaced] = [head[8] as number, head[9] as number, head[12] as number]
  const samples = SAMPLES[colour]
  const isPainted = colour !== 3 || pieces.has('PLTE')
  if (samples === undefined || !isPainted) throw new LogoError(DAMAGED)
  if (interlaced !== 0) {
    throw new LogoError(
      'The logo is an interlaced PNG file, which is not printed. Save it without interlacing.',
    )
  }
  // A byte that names the filter stands before each line.
  const unpacked = height * (1 + Math.ceil((width * samples * depth) / 8))
  try {
    const { length } = inflateSync(Buffer.concat(pieces.get('IDAT') ?? []), { maxOutputLength: unpacked })
    if (length === unpacked) return
  } catch {
    // Said below.
  }
  throw new LogoError(DAMAGED)
}

/** Frames of the kinds that hold a picture's size: ISO/IEC 10918-1, table B.1. */
const isFrame = (marker: number) =>
  marker >= 0xc0 && marker <= 0xcf && marker !== 0xc4 && marker !== 0xc8 && marker !== 0xcc

function requireJpeg(bytes: Buffer): void {
  for (let at = 2; at + 9 < bytes.length && bytes[at] === 0xff; ) {
    const marker = bytes[at + 1] as number
    if (isFrame(marker)) {
      requireSize(bytes.readUInt16BE(at + 7), bytes.readUInt16BE(at + 5))
      return
    }
    at += 2 + bytes.readUInt16BE(at + 2)
  }
  throw new LogoError(DAMAGED)
}
