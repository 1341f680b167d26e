import { createHash } from 'node:crypto'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import type { ImportChoices, Receipt } from '../../../server/contract/receipt.ts'
import { writingAside } from '../../../server/intake/store-thread.ts'
import { takeIn } from '../../../server/intake/take-in.ts'
import { openStore, type Store } from '../../../server/store/store.ts'

/** A database file of its own, and files brought to it through the whole pipeline on this thread. */
export interface Shop {
  readonly store: Store
  readonly folder: string
  bring(content: string | Buffer, choices?: Partial<ImportChoices>, fileName?: string): Promise<Receipt>
  /** Every row of every table, to tell whether anything changed. */
  everything(): string
  /** Remove every row of every table but the version of the tables. */
  empty(): Promise<void>
  close(): Promise<void>
}

export const CHOICES: ImportChoices = {
  who: 'M. Inspector',
  takeGoodRows: false,
  convertUnits: false,
  partNumber: null,
  revision: null,
}

/** @param aside true to have what is taken in written on a thread of its own, as the server has it */
export async function openShop({ aside = false } = {}): Promise<Shop> {
  const folder = mkdtempSync(join(tmpdir(), 'as-sintered-intake-'))
  const database = join(folder, 'store.sqlite')
  const opened = await openStore({ file: database })
  const store = aside ? writingAside(opened) : opened
  return {
    store,
    folder,
    async bring(content, choices = {}, fileName = 'brought.csv') {
      const bytes = Buffer.from(content)
      const path = join(folder, 'brought')
      writeFileSync(path, bytes)
      const sha256 = createHash('sha256').update(bytes).digest('hex')
      return await takeIn(
        store,
        { path, fileName, bytes: bytes.length, sha256, isOurs: false },
        { ...CHOICES, ...choices },
        { filesFolder: join(folder, 'files') },
      )
    },
    everything() {
      const db = new Database(database, { readonly: true })
      const tables = db
        .prepare("select name from sqlite_master where type = 'table' order by name")
        .pluck()
        .all() as string[]
      const rows = tables.map((table) => [table, db.prepare(`select * from "${table}"`).all()])
      db.close()
      return JSON.stringify(rows)
    },
    async empty() {
      // The record itself lets nobody empty it.
      const db = new Database(database)
      db.pragma('foreign_keys = OFF')
      const tables = db
        .prepare(
          "select name from sqlite_master where type = 'table' and name <> 'schema_version' and name not like 'record_%'",
        )
        .pluck()
        .all() as string[]
      for (const table of tables) db.exec(`delete from "${table}"`)
      db.close()
    },
    async close() {
      await store.close()
      rmSync(folder, { recursive: true, force: true })
    },
  }
}

/** The part number that most tests measure parts of. */
export const CHARACTERISTICS = `part_number,revision,part_name,designator,name,kind,nominal,lower,upper,unit,axis
HB-204,C,hinge bracket,1,Overall length,length,42,41.9,42.1,mm,X
HB-204,C,hinge bracket,2,Bore,diameter,8,7.95,8.05,mm,none
HB-204,C,hinge bracket,10,Flatness of base,flatness,0,,0.08,mm,none
HB-204,C,hinge bracket,11,Draft angle,angle,3,2.5,3.5,deg,none
`
