import { rm } from 'node:fs/promises'
import { join } from 'node:path'
import type { ErasureDone, ErasureWanted } from './contract/erasure.ts'
import type { Grounds } from './store/decision-writes.ts'
import type { Store } from './store/store.ts'

/**
 * Erase what must go, kept files once the record says so. A file that could not be removed is found by verify-record.
 *
 * @returns null where nothing of it is on record
 * @throws StillSigningInError
 */
export async function erase(
  store: Store,
  filesFolder: string,
  wanted: ErasureWanted,
  grounds: Grounds,
): Promise<ErasureDone | null> {
  const done = await store.write((writer) => writer.erase(wanted, grounds))
  for (const sha256 of done?.files ?? []) await rm(join(filesFolder, sha256), { force: true })
  return done
}

/** Takes the transaction back in which the preview was made. */
class PreviewedError extends Error {
  readonly found: ErasureDone | null

  constructor(found: ErasureDone | null) {
    super('a preview keeps nothing')
    this.found = found
  }
}

/**
 * What `erase` would take: the same is done, and taken back.
 *
 * @throws StillSigningInError
 */
export async function previewErasure(
  store: Store,
  wanted: ErasureWanted,
  grounds: Grounds,
): Promise<ErasureDone | null> {
  try {
    await store.write(async (writer) => {
      throw new PreviewedError(await writer.erase(wanted, grounds))
    })
  } catch (error) {
    if (error instanceof PreviewedError) return error.found
    throw error
  }
  return null
}
