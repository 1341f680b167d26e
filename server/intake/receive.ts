import { createHash } from 'node:crypto'
import { createWriteStream } from 'node:fs'
import { rm } from 'node:fs/promises'
import { pipeline } from 'node:stream/promises'
import { FileProblemError } from './faults.ts'
import type { WaitingFile } from './take-in.ts'

/** Write the file to disk as it comes, taking its hash on the way. */
export async function receive(
  body: AsyncIterable<Uint8Array>,
  path: string,
  fileName: string,
  byteLimit: number,
): Promise<WaitingFile> {
  const hash = createHash('sha256')
  let bytes = 0
  const written = createWriteStream(path)
  try {
    await pipeline(
      body,
      async function* (chunks: AsyncIterable<Uint8Array>) {
        for await (const chunk of chunks) {
          bytes += chunk.length
          if (bytes > byteLimit) throw tooLarge(byteLimit)
          hash.update(chunk)
          yield chunk
        }
      },
      written,
    )
  } catch (error) {
    // A file that is still being opened would be there again after it was removed.
    if (!written.closed) await new Promise<void>((resolve) => written.once('close', () => resolve()))
    await rm(path, { force: true })
    throw error
  }
  return { path, fileName, bytes, sha256: hash.digest('hex'), isOurs: true }
}

function tooLarge(byteLimit: number): FileProblemError {
  return new FileProblemError(
    `The file is larger than ${Math.floor(byteLimit / 1024 ** 2).toLocaleString('en')} MiB, which is the most that is taken at once.`,
    null,
    'Split it by build, with the headings above each piece, and bring the pieces.',
  )
}
