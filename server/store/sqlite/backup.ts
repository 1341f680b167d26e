import { rm } from 'node:fs/promises'
import Database from 'better-sqlite3'
import { DamagedDatabaseError } from '../errors.ts'

/** All pages in one step: a copy made in several begins again whenever another connection writes between them. */
const ALL_PAGES = 2 ** 31 - 1

/**
 * Copy an SQLite database while others read and write it: the copy is one state of it, committed as a whole. It is read
 * once more before it counts. Source: SQLite documentation, Online Backup API.
 *
 * @param to path of the copy, where nothing may be yet
 * @throws DamagedDatabaseError where the copy is not whole
 */
export async function copySqlite(from: string, to: string): Promise<void> {
  const source = new Database(from, { fileMustExist: true })
  try {
    await source.backup(to, { progress: () => ALL_PAGES })
  } catch (error) {
    await rm(to, { force: true })
    throw error
  } finally {
    source.close()
  }
  // In one file, without a log beside it.
  const copy = new Database(to)
  copy.pragma('journal_mode = DELETE')
  copy.close()
  const fault = integrityFault(to, 'whole')
  if (fault !== null) {
    await rm(to, { force: true })
    throw new DamagedDatabaseError(from, fault)
  }
}

/** quick: every page is sound. whole: every index agrees with its table as well, which takes several times as long. */
export type IntegrityCheck = 'quick' | 'whole'

/** The first thing that is wrong with the file of a database; null where it is sound. */
export function integrityFault(file: string, check: IntegrityCheck): string | null {
  let database: Database.Database | null = null
  try {
    database = new Database(file, { fileMustExist: true })
    const pragma = check === 'quick' ? 'quick_check(1)' : 'integrity_check(1)'
    const said = database.pragma(pragma, { simple: true })
    return said === 'ok' ? null : String(said)
  } catch (error) {
    if (isDamage(error)) return (error as Error).message
    throw error
  } finally {
    database?.close()
  }
}

/** Whether SQLite says that the file is not as it wrote it. */
export function isDamage(error: unknown): boolean {
  return /^SQLITE_(CORRUPT|NOTADB)/.test(String((error as { code?: unknown }).code))
}
