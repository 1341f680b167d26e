import type { Database, Statement } from 'better-sqlite3'
import type { PartTable } from '../schema.ts'

/** Looks parts up by the ten, again and again while a file is taken in: one statement, prepared once. */
export function sqliteParts(
  database: Database,
): (partNumberId: number, serials: readonly string[]) => PartTable[] {
  let select: Statement | null = null
  return (partNumberId, serials) => {
    select ??= database.prepare('select * from part where part_number_id = ? and serial = ?')
    const parts: PartTable[] = []
    for (const serial of serials) {
      const part = select.get(partNumberId, serial) as PartTable | undefined
      if (part !== undefined) parts.push(part)
    }
    return parts
  }
}
