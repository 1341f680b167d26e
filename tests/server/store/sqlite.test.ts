import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { NewerDatabaseError } from '../../../server/store/errors.ts'
import { SCHEMA_VERSION } from '../../../server/store/migrate.ts'
import { openStore } from '../../../server/store/store.ts'
import { openUnrecorded } from '../../tools/unrecorded.ts'
import { storeContract } from './contract.ts'

storeContract('SQLite in memory', async () => {
  const store = await openStore({ file: ':memory:' })
  return { store, remove: () => store.close() }
})

storeContract('SQLite in a file', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'as-sintered-store-'))
  const store = await openStore({ file: join(folder, 'store.sqlite') })
  return {
    store,
    async remove() {
      await store.close()
      rmSync(folder, { recursive: true, force: true })
    },
  }
})

describe('an SQLite file', () => {
  let folder: string
  let file: string
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'as-sintered-store-'))
    file = join(folder, 'store.sqlite')
  })
  afterEach(() => rmSync(folder, { recursive: true, force: true }))

  it('carries the version of its tables, and opens again as it was', async () => {
    const first = await openUnrecorded({ file })
    await first.write((writer) => writer.put('gauge', [{ id: 1, name: 'CMM-1' }]))
    await first.close()
    await (await openUnrecorded({ file })).close()
    const database = new Database(file, { readonly: true })
    const steps = database.prepare('select version, name from schema_version order by version').all()
    expect(steps[0]).toEqual({ version: 1, name: 'first tables' })
    expect(steps[steps.length - 1]).toMatchObject({ version: SCHEMA_VERSION })
    expect(database.prepare('select name from gauge').pluck().all()).toEqual(['CMM-1'])
    expect(database.pragma('journal_mode', { simple: true })).toBe('wal')
    database.close()
  })

  it('is brought up by a step that came between, also where a later one is done', async () => {
    await (await openUnrecorded({ file })).close()
    const database = new Database(file)
    database.exec('delete from schema_version where version = 2; drop table token')
    database.close()
    const store = await openUnrecorded({ file })
    expect(await store.tokens()).toEqual([])
    await store.close()
  })

  it('of a later version is refused and left alone', async () => {
    await (await openUnrecorded({ file })).close()
    const database = new Database(file)
    const steps = database.prepare('select count(*) from schema_version').pluck().get() as number
    database.prepare("insert into schema_version values (999, 'from the future', 0)").run()
    database.close()
    const opening = openUnrecorded({ file })
    await expect(opening).rejects.toThrow(NewerDatabaseError)
    await expect(opening).rejects.toThrow(
      `schema version 999, but this program knows versions up to ${SCHEMA_VERSION} only`,
    )
    const after = new Database(file, { readonly: true })
    expect(after.prepare('select count(*) from schema_version').pluck().get()).toBe(steps + 1)
    after.close()
  })

  it('shows a second connection nothing of a transaction until it is committed', async () => {
    const [one, two] = [await openUnrecorded({ file }), await openUnrecorded({ file })]
    await one.write(async (writer) => {
      await writer.put('part_number', [{ id: 1, number: 'P', revision: 'A', name: null }])
      expect(await two.partNumbers()).toEqual([])
    })
    expect(await two.partNumbers()).toHaveLength(1)
    await one.close()
    await two.close()
  })

  it('checks references', async () => {
    const store = await openUnrecorded({ file })
    await expect(
      store.write((writer) =>
        writer.noteGauges([{ build_id: 1, part_number_id: 1, stage: 'green', gauge_id: 1 }]),
      ),
    ).rejects.toThrow(/FOREIGN KEY/)
    await store.close()
  })
})
