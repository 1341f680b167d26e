import { isUtf8 } from 'node:buffer'
import { createReadStream } from 'node:fs'
import { open } from 'node:fs/promises'
import { StringDecoder } from 'node:string_decoder'
import { createGunzip } from 'node:zlib'
import { FileProblemError } from './faults.ts'

/** How the bytes of a file stand for text. */
export type Encoding = 'UTF-8' | 'UTF-16 LE' | 'UTF-16 BE' | 'Windows-1252'

/** Bytes read at once; large enough to be fast, small enough that a file is stopped within some 10 ms. */
const CHUNK = 512 * 1024

/** Beginnings by which files that are no tables give themselves away. */
const SIGNATURES: readonly {
  readonly bytes: readonly number[]
  readonly is: string
  readonly next: string
}[] = [
  {
    bytes: [0x50, 0x4b, 0x03, 0x04],
    is: 'a workbook or another packed file',
    next: 'Open it and save the sheet as CSV.',
  },
  {
    bytes: [0xd0, 0xcf, 0x11, 0xe0],
    is: 'an old workbook or document',
    next: 'Open it and save the sheet as CSV.',
  },
  {
    bytes: [0x25, 0x50, 0x44, 0x46],
    is: 'a PDF document',
    next: 'Ask the measuring machine for a CSV or text export.',
  },
  {
    bytes: [0x89, 0x50, 0x4e, 0x47],
    is: 'a picture (PNG)',
    next: 'Bring the table of values, saved as CSV.',
  },
  { bytes: [0xff, 0xd8, 0xff], is: 'a picture (JPEG)', next: 'Bring the table of values, saved as CSV.' },
  {
    bytes: [0x47, 0x49, 0x46, 0x38],
    is: 'a picture (GIF)',
    next: 'Bring the table of values, saved as CSV.',
  },
  {
    bytes: [0x53, 0x51, 0x4c, 0x69, 0x74, 0x65],
    is: 'a database',
    next: 'Export the table of values as CSV.',
  },
]

/**
 * Finds the encoding of a file from all of its bytes, handed over in order.
 * UTF-16 needs its byte order mark; anything that is not valid UTF-8 is read as Windows-1252, which has a
 * character for nearly every byte.
 */
export class EncodingFinder {
  #utf16: 'UTF-16 LE' | 'UTF-16 BE' | null = null
  #validUtf8 = true
  #begun = false
  /** Bytes of a character that the next chunk finishes. */
  #carried: Buffer = Buffer.alloc(0)

  /** @throws FileProblemError where the bytes are no text */
  push(bytes: Buffer): void {
    if (bytes.length === 0) return
    if (!this.#begun) {
      const head = Buffer.concat([this.#carried, bytes])
      // Two or three bytes are needed to tell; a file this short may end before they come.
      if (head.length < 8) {
        this.#carried = head
        return
      }
      this.#begin(head)
      this.#carried = Buffer.alloc(0)
      this.#scan(head)
      return
    }
    this.#scan(bytes)
  }

  /** @throws FileProblemError where the bytes are no text */
  end(): Encoding {
    if (!this.#begun) {
      const head = this.#carried
      this.#carried = Buffer.alloc(0)
      this.#begin(head)
      this.#scan(head)
    }
    if (this.#utf16 !== null) return this.#utf16
    return this.#validUtf8 && this.#carried.length === 0 ? 'UTF-8' : 'Windows-1252'
  }

  #begin(head: Buffer): void {
    this.#begun = true
    for (const { bytes, is, next } of SIGNATURES) {
      if (bytes.every((byte, i) => head[i] === byte)) {
        throw new FileProblemError(`This is ${is}, not a table in text.`, 'beginning of the file', next)
      }
    }
    if (head[0] === 0xff && head[1] === 0xfe) this.#utf16 = 'UTF-16 LE'
    else if (head[0] === 0xfe && head[1] === 0xff) this.#utf16 = 'UTF-16 BE'
    else this.#utf16 = unmarkedUtf16(head)
  }

  #scan(bytes: Buffer): void {
    if (this.#utf16 !== null) return
    const at = bytes.indexOf(0)
    if (at >= 0) {
      throw new FileProblemError(
        'The file holds zero bytes, as pictures and other binary files do.',
        null,
        'Save the table as CSV with UTF-8 encoding.',
      )
    }
    if (!this.#validUtf8) return
    const all = this.#carried.length === 0 ? bytes : Buffer.concat([this.#carried, bytes])
    const whole = wholeCharacters(all)
    this.#validUtf8 = isUtf8(all.subarray(0, whole))
    // Copied, since a reader may use its buffer again.
    this.#carried = this.#validUtf8 ? Buffer.from(all.subarray(whole)) : Buffer.alloc(0)
  }
}

/**
 * UTF-16 without a byte order mark: of text in the letters of Europe every other byte is zero, and those
 * between are not. Null where it does not look so.
 */
function unmarkedUtf16(head: Buffer): 'UTF-16 LE' | 'UTF-16 BE' | null {
  const pairs = Math.min(head.length >> 1, 2000)
  if (pairs < 4) return null
  const zeros: [number, number] = [0, 0]
  for (let i = 0; i < pairs * 2; i++) if (head[i] === 0) zeros[(i & 1) as 0 | 1]++
  if (zeros[1] > pairs * 0.7 && zeros[0] === 0) return 'UTF-16 LE'
  if (zeros[0] > pairs * 0.7 && zeros[1] === 0) return 'UTF-16 BE'
  return null
}

/** Length of the bytes without a UTF-8 character that is cut off at their end. */
function wholeCharacters(bytes: Buffer): number {
  for (let back = 1; back <= Math.min(3, bytes.length); back++) {
    const byte = bytes[bytes.length - back] as number
    if ((byte & 0xc0) === 0x80) continue
    const needed = byte >= 0xf0 ? 4 : byte >= 0xe0 ? 3 : byte >= 0xc0 ? 2 : 1
    return needed > back ? bytes.length - back : bytes.length
  }
  return bytes.length
}

/** Characters of Windows-1252 at 0x80 to 0x9F; the five unassigned stand for themselves. */
const WINDOWS_1252 = '€\u0081‚ƒ„…†‡ˆ‰Š‹Œ\u008dŽ\u008f\u0090‘’“”•–—˜™š›œ\u009džŸ'

/** Turns the bytes of a file, handed over in order, into text whose lines end in LF alone. */
export class Decoder {
  readonly #decode: (bytes: Buffer) => string
  readonly #flush: () => string
  #first = true
  #carriageReturn = false

  constructor(encoding: Encoding) {
    if (encoding === 'Windows-1252') {
      this.#decode = fromWindows1252
      this.#flush = () => ''
    } else if (encoding === 'UTF-8') {
      const decoder = new StringDecoder('utf8')
      this.#decode = (bytes) => decoder.write(bytes)
      this.#flush = () => decoder.end()
    } else {
      const decoder = new TextDecoder(encoding === 'UTF-16 LE' ? 'utf-16le' : 'utf-16be', { ignoreBOM: true })
      this.#decode = (bytes) => decoder.decode(bytes, { stream: true })
      this.#flush = () => decoder.decode()
    }
  }

  push(bytes: Buffer): string {
    return this.#lines(this.#decode(bytes), false)
  }

  end(): string {
    return this.#lines(this.#flush(), true)
  }

  /** CR LF and CR become LF; a CR at the end waits for the next chunk, which may begin with its LF. */
  #lines(decoded: string, last: boolean): string {
    let text = decoded
    if (this.#first && text.length > 0) {
      this.#first = false
      if (text.charCodeAt(0) === 0xfeff) text = text.slice(1)
    }
    if (this.#carriageReturn) text = `\r${text}`
    this.#carriageReturn = !last && text.endsWith('\r')
    if (this.#carriageReturn) text = text.slice(0, -1)
    return text.includes('\r') ? text.replace(/\r\n?/g, '\n') : text
  }
}

function fromWindows1252(bytes: Buffer): string {
  return bytes
    .toString('latin1')
    .replace(/[\u0080-\u009f]/g, (character) => WINDOWS_1252.charAt(character.charCodeAt(0) - 0x80))
}

/** Bytes that a packed file may unpack to, and how many for each byte packed once there are many. */
const MOST_UNPACKED = 16 * 1024 ** 3
const MOST_TIMES_PACKED = 250
const RATIO_COUNTS_FROM = 32 * 1024 ** 2

/** True where the file is packed with gzip (RFC 1952). */
export async function isPacked(file: string): Promise<boolean> {
  const handle = await open(file, 'r')
  try {
    const { buffer, bytesRead } = await handle.read(Buffer.alloc(2), 0, 2, 0)
    return bytesRead === 2 && buffer[0] === 0x1f && buffer[1] === 0x8b
  } finally {
    await handle.close()
  }
}

/** How far the reading of a file has come, in bytes as they lie on disk. */
export interface BytesRead {
  bytes: number
}

/** The bytes of a file as they are. While one chunk is worked on the next is read, into one of two buffers. */
async function* chunksOf(file: string): AsyncGenerator<Buffer> {
  const handle = await open(file, 'r')
  let next: Promise<{ buffer: Buffer; bytesRead: number }> | null = null
  try {
    let [buffer, spare] = [Buffer.allocUnsafeSlow(CHUNK), Buffer.allocUnsafeSlow(CHUNK)]
    next = handle.read(buffer, 0, CHUNK)
    for (;;) {
      const { bytesRead } = await next
      next = null
      if (bytesRead === 0) return
      next = handle.read(spare, 0, CHUNK)
      // Its failure is met when it is awaited.
      next.catch(() => undefined)
      yield buffer.subarray(0, bytesRead)
      ;[buffer, spare] = [spare, buffer]
    }
  } finally {
    await next?.catch(() => undefined)
    await handle.close()
  }
}

/**
 * The bytes of a file in chunks, unpacked where it is packed. A chunk holds until the next is asked for.
 *
 * @throws FileProblemError where a packed file is damaged, or unpacks to far more than a table would
 */
export async function* bytesOf(file: string, read: BytesRead = { bytes: 0 }): AsyncGenerator<Buffer> {
  read.bytes = 0
  if (!(await isPacked(file))) {
    for await (const chunk of chunksOf(file)) {
      read.bytes += chunk.length
      yield chunk
    }
    return
  }
  const source = createReadStream(file, { highWaterMark: CHUNK })
  source.on('data', (chunk) => {
    read.bytes += chunk.length
  })
  const unpack = createGunzip({ chunkSize: CHUNK })
  source.on('error', (error) => unpack.destroy(error))
  source.pipe(unpack)
  let unpacked = 0
  try {
    for await (const chunk of unpack) {
      unpacked += (chunk as Buffer).length
      const ratio = unpacked / Math.max(1, read.bytes)
      if (unpacked > MOST_UNPACKED || (unpacked > RATIO_COUNTS_FROM && ratio > MOST_TIMES_PACKED)) {
        throw new FileProblemError(
          `The packed file grows to more than ${MOST_TIMES_PACKED} times its size, or beyond ${MOST_UNPACKED / 1024 ** 3} GiB, which no table of measurements does.`,
          null,
          'Unpack it by hand, look at what is in it, and bring the table itself.',
        )
      }
      yield chunk as Buffer
    }
  } catch (error) {
    if (error instanceof FileProblemError) throw error
    const { code } = error as NodeJS.ErrnoException
    if (code !== undefined && /^Z_|^ERR_.*TRAILING/.test(code)) {
      throw new FileProblemError(
        'The packed file (gzip) is damaged or cut off.',
        null,
        'Pack or copy it again, or bring it unpacked.',
      )
    }
    throw error
  } finally {
    source.destroy()
    unpack.destroy()
  }
}
