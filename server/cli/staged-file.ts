import { createHash } from 'node:crypto'
import { createReadStream, createWriteStream } from 'node:fs'
import { basename, join } from 'node:path'
import { pipeline } from 'node:stream/promises'
import type { WaitingFile } from '../intake/take-in.ts'

/**
 * A copy of the file in the folder, with its hash. The intake reads a file more than once, and what it reads has to
 * stay the same even if somebody writes to the original meanwhile.
 */
export async function stageFile(path: string, folder: string): Promise<WaitingFile> {
  const hash = createHash('sha256')
  let bytes = 0
  const copy = join(folder, 'staged')
  await pipeline(
    createReadStream(path),
    async function* (chunks: AsyncIterable<Buffer>) {
      for await (const chunk of chunks) {
        bytes += chunk.length
        hash.update(chunk)
        yield chunk
      }
    },
    createWriteStream(copy),
  )
  return { path: copy, fileName: basename(path), bytes, sha256: hash.digest('hex'), isOurs: false }
}
