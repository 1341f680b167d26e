import { existsSync } from 'node:fs'
import { copyFile, link, mkdir, rename, rm } from 'node:fs/promises'
import { join } from 'node:path'
import { sync } from '../sync.ts'

/**
 * Put the file among the kept ones, safe on disk before the transaction that speaks of it is.
 *
 * @param isOurs true where nobody else writes to the file: then what is kept is the same bytes under a second name,
 * where the disk can do so, and a large file is not written twice
 * @returns its path there; null where it was kept already
 */
export async function keepFile(
  path: string,
  folder: string,
  sha256: string,
  isOurs: boolean,
): Promise<string | null> {
  await mkdir(folder, { recursive: true })
  const kept = join(folder, sha256)
  if (existsSync(kept)) return null
  if (isOurs) await sync(path)
  if (!isOurs || !(await isLinked(path, kept))) {
    // Under another name first, so that what stands under a hash is always whole.
    const copy = `${kept}.copy`
    try {
      await copyFile(path, copy)
      await sync(copy)
      await rename(copy, kept)
    } catch (error) {
      await rm(copy, { force: true })
      throw error
    }
  }
  await sync(folder)
  return kept
}

/** False where the file system has no second names, or the folders lie on two. */
async function isLinked(path: string, name: string): Promise<boolean> {
  try {
    await link(path, name)
    return true
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException
    if (['EXDEV', 'EPERM', 'ENOTSUP', 'ENOSYS', 'EMLINK'].includes(code ?? '')) return false
    throw error
  }
}
