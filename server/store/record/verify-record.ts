import { createHash } from 'node:crypto'
import { createReadStream, existsSync } from 'node:fs'
import { join } from 'node:path'
import type { Kysely } from 'kysely'
import { now } from '../../clock.ts'
import type { RecordVerification } from '../../contract/record.ts'
import type { Schema } from '../schema.ts'
import { walkChain } from './chain-walk.ts'
import { Faults } from './faults.ts'
import { TableChecks } from './table-checks.ts'

export interface VerifyOptions {
  /** Hash of an earlier head: that the record still holds it shows that nothing before it was cut or rewritten. */
  readonly expect?: string | undefined
  /** Folder of the kept files, to read them again; null to leave them. */
  readonly filesFolder?: string | null | undefined
  /** Told the entries walked so far. */
  readonly onProgress?: ((entries: number) => void) | undefined
}

/**
 * Walk the whole record and compare it with what it speaks of. A chain alone cannot show that its last entries were
 * cut off, or that all of it was written anew: that takes a head noted earlier, elsewhere (`expect`).
 *
 * @param db one state of the database
 */
export async function verifyRecord(
  db: Kysely<Schema>,
  { expect, filesFolder = null, onProgress }: VerifyOptions = {},
): Promise<RecordVerification> {
  const faults = new Faults()
  const tables = new TableChecks(db, faults)
  let expectedAt: number | null = null
  let walked = 0
  const walk = await walkChain(db, faults, async (entries) => {
    await tables.visit(entries)
    expectedAt ??= entries.find(({ hash }) => hash === expect)?.sequence ?? null
    walked += entries.length
    onProgress?.(walked)
  })
  if (expect !== undefined && expectedAt === null) {
    faults.add(
      'head',
      null,
      `No entry has the hash ${expect.slice(0, 12)}… that was noted as the head: the record was cut or written anew since, or the hash is another record’s.`,
    )
  }
  await tables.finish()
  const files = filesFolder === null ? new Map<string, number>() : tables.keptFiles()
  for (const [sha256, sequence] of files) {
    const found = await hashOfFile(join(filesFolder as string, sha256))
    if (found === null) {
      faults.add(
        'file',
        sequence,
        `The file of entry ${sequence} (${sha256.slice(0, 12)}…) is not kept any more.`,
      )
    } else if (found !== sha256) {
      faults.add('file', sequence, `The file of entry ${sequence} (${sha256.slice(0, 12)}…) was changed.`)
    }
  }
  if (filesFolder !== null) {
    for (const sha256 of tables.erasedFiles()) {
      if (!existsSync(join(filesFolder, sha256))) continue
      faults.add(
        'file',
        null,
        `The file ${sha256.slice(0, 12)}… was erased, and is in ${filesFolder} still: remove it.`,
      )
    }
  }
  return {
    at: now(),
    ...walk,
    faults: faults.all,
    faultCount: faults.count,
    rows: tables.rows,
    imports: tables.imports,
    files: files.size,
    expected: expect === undefined ? null : { hash: expect, sequence: expectedAt },
  }
}

/** SHA-256 of a file, in hexadecimal digits; null where there is none. */
export async function hashOfFile(path: string): Promise<string | null> {
  const hash = createHash('sha256')
  try {
    for await (const bytes of createReadStream(path)) hash.update(bytes as Buffer)
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return null
    throw error
  }
  return hash.digest('hex')
}
