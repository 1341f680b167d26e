import { existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { basename, join } from 'node:path'
import { fileURLToPath } from 'node:url'
import Database from 'better-sqlite3'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { openOwnFolder } from '../../../server/own-folder.ts'
import { NewerDatabaseError } from '../../../server/store/errors.ts'
import { openStore } from '../../../server/store/store.ts'

/** Databases as earlier schemas left them; made by tests/reference/databases/make.ts at that time. */
const released = fileURLToPath(new URL('../../reference/databases', import.meta.url))

describe('a database of', () => {
  let folder: string
  let file: string
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'as-sintered-released-'))
    file = join(folder, 'shop.sqlite')
  })
  afterEach(() => rmSync(folder, { recursive: true, force: true }))

  /** Steps of the schema that a database has. */
  const steps = (path: string): unknown[] => {
    const database = new Database(path, { readonly: true })
    const done = database.prepare('select version from schema_version order by version').pluck().all()
    database.close()
    return done
  }
  const load = (name: string) => {
    const database = new Database(file)
    database.pragma('foreign_keys = OFF')
    database.exec(readFileSync(join(released, name), 'utf8'))
    database.close()
  }

  for (const name of readdirSync(released).filter((each) => each.endsWith('.sql'))) {
    it(`schema ${name} is copied, brought up, and holds what it held`, async () => {
      load(name)
      const version = Number(name.slice(0, 4))
      const before = steps(file)
      const store = await openStore({ file })
      const isBroughtUp = steps(file).length > before.length
      expect(await store.partNumbers()).toMatchObject([
        { number: 'HB-204', revision: 'C', characteristics: 2, measurements: 23 },
      ])
      const [partNumber] = await store.partNumbers()
      const id = partNumber?.id ?? 0
      expect(await store.findings(id)).toMatchObject([{ cause: 'new powder lot', who: 'Ines Quark' }])
      expect(await store.remarks(id)).toMatchObject([{ text: 'belt replaced' }])
      expect(await store.exclusions(id, 'sintered')).toMatchObject([{ single: { serial: 'S0' } }])
      // The exclusion counts still: 12 values, one of them left out.
      const cells = await store.cells(id, 'sintered')
      expect(cells.reduce((sum, { n }) => sum + n, 0)).toBe(23)
      // From here on databases were made with a row of every kind that somebody decides.
      if (version > 1000) {
        expect((await store.studyVersions(1, 'sintered')).map(({ change }) => change.kind)).toEqual([
          'open-phase',
        ])
        expect(await store.customerRequirements(id)).toMatchObject([{ version: 1, reason: 'as agreed' }])
        expect(await store.shrinkageSettings(id)).toMatchObject([{ version: 1, told: [] }])
        expect(await store.factorDecisions(id)).toMatchObject([{ firstBuild: 'B3', factors: { x: 1.182 } }])
        expect((await store.gauges()).find(({ name }) => name === 'CMM-1')?.entries).toMatchObject([
          { kind: 'measuring machine', characteristicIds: [1], due: '2027-02-01' },
        ])
        expect(await store.noticeSettings()).toMatchObject([{ recipients: ['ines@shop.example'] }])
        expect(await store.people()).toMatchObject([{ name: 'Ada Root', role: 'administrator' }])
      }
      expect(await store.verifyRecord()).toMatchObject({ faults: [] })
      const entries = (await store.recordEntries({}, 100)).toReversed()
      if (version < 500) {
        expect(entries[0]).toMatchObject({
          kind: 'beginning',
          details: { rows: { import: 3, measurement: 24, finding: 1, exclusion: 1 }, last: { import: 3 } },
        })
      } else expect(entries[0]?.kind).toBe('import')
      if (isBroughtUp) expect(entries.at(-1)?.kind).toBe('schema')
      // What is done next goes on from there.
      const grounds = { reason: 'spilt', who: 'Emil Rau', at: 1_790_000_500 }
      await store.write((writer) => writer.takeBack(1, grounds))
      expect(await store.verifyRecord()).toMatchObject({ faults: [], entries: entries.length + 1 })
      await store.close()

      const copies = readdirSync(folder).filter((each) => each.startsWith('shop-'))
      expect(copies).toHaveLength(isBroughtUp ? 1 : 0)
      for (const copy of copies) {
        expect(copy).toMatch(/^shop-\d{4}-.*-version-\d+\.sqlite$/)
        expect(steps(join(folder, copy))).toEqual(before)
        const kept = new Database(join(folder, copy), { readonly: true })
        expect(kept.prepare('select count(*) from measurement').pluck().get()).toBe(24)
        kept.close()
      }
    })
  }

  it('schema 0900 knows the furnace loads of its builds once it is brought up', async () => {
    load('0900-gauge-studies.sql')
    const database = new Database(file)
    database.exec(`
      insert into furnace_load (id, name, furnace, conditions) values (1, 'L1', 'F2', '{}'), (2, 'L2', 'F3', '{}');
      update cell set furnace_load_id = 1 where id = 1`)
    const [build, stage] = database.prepare('select build_id, stage from cell where id = 1').raw().get() as [
      number,
      'sintered',
    ]
    database.close()
    const store = await openStore({ file })
    const [partNumber] = await store.partNumbers()
    const id = partNumber?.id ?? 0
    expect((await store.loadsOf(id, stage)).map(({ name }) => name)).toEqual(['L1'])
    const furnaces = (await store.builds(id, stage)).map((each) => [each.id, each.furnaces])
    expect(furnaces.filter(([, names]) => names?.toString() !== '')).toEqual([[build, ['F2']]])
    await store.close()
  })

  it('a program killed while it copied is copied anew, and what was left of the first copy goes', async () => {
    const copying = join(folder, 'being-copied')
    /** As a kill leaves it: half a copy, with the log beside it. */
    const leaveHalf = () => {
      mkdirSync(join(copying, 'of-killed'), { recursive: true })
      writeFileSync(join(copying, 'of-killed', 'copy.sqlite'), 'half')
      writeFileSync(join(copying, 'of-killed', 'copy.sqlite-journal'), 'half')
    }
    const copies = () => readdirSync(folder).filter((each) => each.startsWith('shop-'))
    load(readdirSync(released).filter((each) => each.endsWith('.sql'))[0] as string)
    // Another program copies at this moment.
    const other = openOwnFolder(copying)
    writeFileSync(join(other.path, 'copy.sqlite'), 'growing')
    leaveHalf()
    await (await openStore({ file })).close()
    expect(copies()).toHaveLength(1)
    expect(readdirSync(copying)).toEqual([basename(other.path)])
    expect(existsSync(join(other.path, 'copy.sqlite'))).toBe(true)
    other.close()
    // With the next start too, where nothing is brought up any more.
    leaveHalf()
    await (await openStore({ file })).close()
    expect(readdirSync(copying)).toEqual([])
    expect(copies()).toHaveLength(1)
  })

  it('a program to come is refused, and not copied', async () => {
    load(readdirSync(released).filter((each) => each.endsWith('.sql'))[0] as string)
    const database = new Database(file)
    database.exec("insert into schema_version values (99999, 'to come', 0)")
    database.close()
    await expect(openStore({ file })).rejects.toThrow(NewerDatabaseError)
    expect(readdirSync(folder).filter((each) => each.startsWith('shop-'))).toEqual([])
  })
})
