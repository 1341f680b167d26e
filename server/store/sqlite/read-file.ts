import Database from 'better-sqlite3'
import { Kysely, SqliteDialect } from 'kysely'
import type { Schema } from '../schema.ts'

/** Read a database file that nobody writes, leaving it as it is: it is neither brought up nor given a log. */
export async function readFile<T>(file: string, work: (db: Kysely<Schema>) => Promise<T>): Promise<T> {
  const database = new Database(file, { readonly: true, fileMustExist: true })
  const db = new Kysely<Schema>({ dialect: new SqliteDialect({ database }) })
  try {
    return await work(db)
  } finally {
    await db.destroy()
  }
}
