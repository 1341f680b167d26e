import type { ClientBase } from 'pg'
import { to as copyTo } from 'pg-copy-streams'

/** Bytes before the first row of the binary format of COPY: signature, flags, and an extension of no length. */
export const HEADER_BYTES = 19

/** All that a COPY to standard output gives. */
export async function copied(client: ClientBase, statement: string): Promise<Buffer> {
  const chunks: Buffer[] = []
  for await (const chunk of client.query(copyTo(statement))) chunks.push(chunk as Buffer)
  return Buffer.concat(chunks)
}
