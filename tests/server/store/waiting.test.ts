import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setImmediate as turn } from 'node:timers/promises'
import Database from 'better-sqlite3'
import { afterEach, beforeEach, expect, it } from 'vitest'
import { BusyDatabaseError } from '../../../server/store/errors.ts'
import { beginImmediate } from '../../../server/store/sqlite/begin.ts'
import type { Store } from '../../../server/store/store.ts'
import { openUnrecorded as openStore } from '../../tools/unrecorded.ts'

/** A store whose database another connection is writing to. */
let folder: string
let file: string
let store: Store
let other: Database.Database

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'as-sintered-waiting-'))
  file = join(folder, 'store.sqlite')
  store = await openStore({ file })
  other = new Database(file)
  other.exec('BEGIN IMMEDIATE')
})
afterEach(async () => {
  if (other.inTransaction) other.exec('ROLLBACK')
  other.close()
  await store.close()
  rmSync(folder, { recursive: true, force: true })
})

it('a write waits for another program’s without holding up its thread', async () => {
  let written = false
  const writing = store
    .write((writer) => writer.put('gauge', [{ id: 1, name: 'CMM-1' }]))
    .then(() => {
      written = true
    })
  // Turns of the event loop and reads go on meanwhile; SQLite's own waiting would allow neither.
  let longest = 0
  for (let i = 0; i < 200; i++) {
    const began = performance.now()
    await turn()
    if (i % 20 === 0) expect(await store.partNumbers()).toEqual([])
    longest = Math.max(longest, performance.now() - began)
  }
  expect(written).toBe(false)
  expect(longest).toBeLessThan(1000)
  other.exec('COMMIT')
  await writing
  expect(other.prepare('select name from gauge').pluck().all()).toEqual(['CMM-1'])
})

it('writes that wait keep their order', async () => {
  const done: number[] = []
  const writing = [1, 2, 3].map((id) =>
    store
      .write((writer) => writer.put('gauge', [{ id, name: `G${id}` }]))
      .then(() => {
        done.push(id)
      }),
  )
  await turn()
  other.exec('COMMIT')
  await Promise.all(writing)
  expect(done).toEqual([1, 2, 3])
})

it('patience has an end, and then nothing was changed', async () => {
  const third = new Database(file)
  await expect(beginImmediate(third, 0)).rejects.toThrow(BusyDatabaseError)
  expect(third.inTransaction).toBe(false)
  third.close()
})

it('a failure other than a busy database is not waited out', async () => {
  const third = new Database(file, { readonly: true })
  third.close()
  await expect(beginImmediate(third)).rejects.toThrow(/not open/)
})
