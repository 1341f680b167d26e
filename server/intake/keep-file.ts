import { existsSync } from 'node:fs'
import { copyFile, mkdir, open, rename } from 'node:fs/promises'
import { join } from 'node:path'

/**
 * Put the file among the kept ones, safe on disk before the transaction that speaks of it is.
 *
 * @returns its path there; null where it was kept already
 */
export async function keepFile(path: string, folder: string, sha256: string): Promise<string | null> {
  await mkdir(folder, { recursive: true })
  const kept = join(folder, sha256)
  if (existsSync(kept)) return null
  // Under another name first, so that what stands under a hash is always whole.
  const copy = `${kept}.copy`
  await copyFile(path, copy)
  await sync(copy)
  await rename(copy, kept)
  await sync(folder)
  return kept
}

/** Wait until a file, or the entries of a folder, are on disk. */
export async function sync(path: string): Promise<void> {
  const handle = await open(path, 'r')
  try {
    await handle.sync()
  } catch (error) {
    // Some systems cannot do so for folders, or for files opened to be read, and do it by themselves.
    if (!['EPERM', 'EINVAL', 'EISDIR'].includes((error as NodeJS.ErrnoException).code ?? '')) throw error
  } finally {
    await handle.close()
  }
}
