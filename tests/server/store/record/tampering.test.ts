import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import pg from 'pg'
import { afterAll, beforeAll } from 'vitest'
import { openStore } from '../../../../server/store/store.ts'
import { type RunningPostgres, startPostgres } from '../../../tools/postgres.ts'
import { tamperingContract } from './tampering.ts'

tamperingContract('SQLite', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'as-sintered-record-'))
  const file = join(folder, 'store.sqlite')
  const store = await openStore({ file })
  const database = new Database(file)
  database.pragma('foreign_keys = OFF')
  return {
    store,
    async ask(sql) {
      const statement = database.prepare(sql)
      if (statement.reader) return statement.all() as Record<string, unknown>[]
      statement.run()
      return []
    },
    async unguard() {
      const names = database
        .prepare("select name from sqlite_master where type = 'trigger' and name like 'record_%'")
        .pluck()
        .all()
      for (const name of names) database.exec(`drop trigger ${name}`)
    },
    async remove() {
      database.close()
      await store.close()
      rmSync(folder, { recursive: true, force: true })
    },
  }
})

let server: RunningPostgres
beforeAll(async () => {
  server = await startPostgres()
})
afterAll(() => server.stop())

tamperingContract('PostgreSQL', async () => {
  const connection = await server.createDatabase()
  const store = await openStore({ connection })
  const client = new pg.Client(connection)
  await client.connect()
  return {
    store,
    ask: async (sql) => (await client.query(sql)).rows,
    async unguard() {
      // Triggers of foreign keys as well, so that rows can be torn apart in any order.
      await client.query('set session_replication_role = replica')
    },
    async remove() {
      await client.end()
      await store.close()
    },
  }
})
