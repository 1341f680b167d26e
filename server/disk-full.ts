/** Codes of a full disk: of the system, of SQLite, and of PostgreSQL (documentation, Error Codes). */
const CODES: ReadonlySet<string> = new Set(['ENOSPC', 'EDQUOT', 'SQLITE_FULL', '53100'])

/** What it says where an error came from another thread, which leaves only its message. */
const SAYS = /database or disk is full|ENOSPC|EDQUOT|no space left on device|could not extend file/i

/** Whether something failed because nothing more could be written. */
export function isDiskFull(error: unknown): boolean {
  if (typeof error === 'string') return SAYS.test(error)
  const { code, message } = error as { readonly code?: unknown; readonly message?: unknown }
  return CODES.has(String(code)) || SAYS.test(String(message))
}

/** For whoever asked: what is wrong, and what to do. */
export const DISK_FULL = {
  what: 'The disk of the server is full, so nothing of this was kept. What was on record before is as it was.',
  where: null,
  next: 'Have room made on the disk of the data folder, then do it again.',
} as const
