import { open } from 'node:fs/promises'

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
