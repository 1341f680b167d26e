import { existsSync, readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest'
import type { ErasureDone, ErasureWanted } from '../../../server/contract/erasure.ts'
import type { RecordVerification, RecordView } from '../../../server/contract/record.ts'
import type { Verification } from '../../../server/contract/report.ts'
import { momentsOf } from '../../../src/description/moments.ts'
import { type RunningServer, startServer } from '../../tools/running-server.ts'

const PART = '/api/part-numbers/HB-1/A'
const NAME = 'Zdenka Ořechová'
const who = 'Ada Root'
const value = (build: number, part: number) => 10 + ((build * 7 + part * 3) % 11) / 100

let server: RunningServer
beforeEach(async () => {
  server = await startServer()
  const rows: string[] = []
  for (let build = 0; build < 12; build++) {
    for (let part = 0; part < 4; part++) {
      rows.push(`HB-1,A,SER-${build}-${part},B${10 + build},1,10,9.9,10.1,mm,${value(build, part)},${NAME}`)
    }
  }
  const headings = 'part_number,revision,serial,build,characteristic,nominal,lower,upper,unit,value,inspector'
  const receipt = await server.bring('measured by Zdenka.csv', `${headings}\n${rows.join('\n')}\n`, {
    who: NAME,
  })
  expect(receipt.verdict).toBe('taken')
  await send(`${PART}/characteristics/1/exclusions?stage=sintered`, {
    build: 'B10',
    single: { serial: 'SER-0-1', replicate: 1 },
    everyCharacteristic: false,
    who: NAME,
    reason: `spilt, says ${NAME}`,
  })
  await send(`${PART}/characteristics/1/study?stage=sintered`, {
    version: 0,
    change: { kind: 'freeze-limits', build: 'B10' },
    who: NAME,
    reason: 'steady',
  })
  await send(`${PART}/remarks?stage=sintered`, {
    build: 'B11',
    text: `ask ${NAME}, not Zdenka Ořechovásk`,
    who,
  })
  await send(`${PART}/report`, { who: 'Vera Lund' })
})
afterEach(() => server.stop())

async function send<T>(path: string, body: unknown): Promise<T> {
  const answer = await fetch(server.url + path, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify(body),
  })
  expect(answer.status, await answer.clone().text()).toBeLessThan(300)
  return (await answer.json()) as T
}
const erasing = (wanted: ErasureWanted, preview = false) =>
  send<ErasureDone>('/api/record/erasures', { wanted, preview, who, reason: 'the customer asked' })
const verify = () => server.get<RecordVerification>('/api/record/verification?files=true')
const dump = () => {
  const database = new Database(join(server.folder, 'as-sintered.sqlite'), { readonly: true })
  const tables = database
    .prepare("select name from sqlite_master where type = 'table'")
    .pluck()
    .all() as string[]
  const rows = tables.map((table) => [table, database.prepare(`select * from "${table}"`).all()])
  database.close()
  return JSON.stringify(rows)
}
const parts: ErasureWanted = {
  what: 'parts',
  partNumber: 'HB-1',
  revision: 'A',
  serials: ['SER-0-1', 'SER-3-2', 'never here'],
  files: true,
}

describe('erasing parts', () => {
  it('is previewed without a trace', async () => {
    const before = dump()
    const preview = await erasing(parts, true)
    expect(preview).toMatchObject({ parts: 2, measurements: 2, imports: [1], files: [expect.any(String)] })
    expect(dump()).toBe(before)
    expect(readdirSync(join(server.folder, 'files'))).toHaveLength(1)
  })

  it('takes them, their values, their serial numbers and the kept file; cells are computed anew; the record verifies', async () => {
    const preview = await erasing(parts, true)
    const before = await server.get<RecordView>('/api/record')
    expect(await erasing(parts)).toEqual(preview)
    const [partNumber] = await server.store.partNumbers()
    const cells = await server.store.cells(partNumber?.id ?? 0, 'sintered')
    const [first] = cells
    // Part 1 of build 0 is gone; it was left out, which changes nothing any more.
    expect(first).toMatchObject(momentsOf([0, 2, 3].map((part) => value(0, part))))
    expect(cells.reduce((sum, { n }) => sum + n, 0)).toBe(46)
    expect(readdirSync(join(server.folder, 'files'))).toEqual([])
    // Reports stay as they were given out, and the answer names them.
    expect(preview.reports).toEqual([1])
    const database = new Database(join(server.folder, 'as-sintered.sqlite'))
    database.exec('delete from report where id = 1')
    expect(dump()).not.toMatch(/SER-0-1|SER-3-2/)
    database.close()

    const found = await verify()
    // But for the report that this test took away.
    expect(found.faults.map(({ what }) => what)).toEqual([expect.stringMatching(/report .* gone/)])
    expect(found.erased).toBe(preview.entries)
    const after = await server.get<RecordView>('/api/record')
    expect(after.entries[0]).toMatchObject({ kind: 'erasure', who, reason: 'the customer asked' })
    expect(after.entries[0]?.did).toBe(
      'erased two parts with two measurements, and one kept file; words of two entries were replaced',
    )
    // Entries keep their places and hashes.
    expect(after.entries.slice(1).map(({ hash }) => hash)).toEqual(before.entries.map(({ hash }) => hash))
    expect(after.entries.filter(({ erasures }) => erasures.length > 0).map(({ kind }) => kind)).toEqual([
      'exclusion',
      'import',
    ])
  })

  it('is said by reports that used them', async () => {
    await erasing({ ...parts, files: false })
    const verification = await server.get<Verification>('/api/reports/1/verify')
    expect(verification.grounds.join(' ')).toMatch(/two parts of its builds were erased.*entry \d+/i)
  })

  it('leaves nothing of what went in the free pages of the database, nor in its log', async () => {
    const holding = () =>
      readdirSync(server.folder)
        .filter((each) => each.startsWith('as-sintered.sqlite'))
        .filter((each) => readFileSync(join(server.folder, each)).includes('SER-3-2'))
    expect(holding()).not.toEqual([])
    await erasing(parts)
    await vi.waitFor(() => expect(holding()).toEqual([]), { timeout: 5000 })
  })

  it('answers 404 where nothing of it is there, and keeps no entry', async () => {
    const head = await server.store.recordHead()
    const answer = await fetch(`${server.url}/api/record/erasures`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({ wanted: { ...parts, serials: ['nobody'] }, who, reason: 'x' }),
    })
    expect(answer.status).toBe(404)
    expect(await server.store.recordHead()).toEqual(head)
  })
})

describe('erasing a person', () => {
  it('puts a number in the place of the name wherever it stands, and the record verifies', async () => {
    const done = await erasing({ what: 'person', name: NAME })
    expect(done).toMatchObject({ pseudonym: 'person 1' })
    const { faults } = await verify()
    expect(faults).toEqual([])
    const [remark] = await server.store.remarks(1)
    expect(remark?.text).toBe('ask person 1, not Zdenka Ořechovásk')
    expect((await server.store.receipt(1))?.who).toBe('person 1')
    const { entries } = await server.get<RecordView>('/api/record?kind=exclusion')
    expect(entries[0]).toMatchObject({ who: 'person 1', reason: 'spilt, says person 1' })
    const studies = await server.store.studyVersions(1, 'sintered')
    expect(JSON.stringify(studies)).not.toContain(NAME)
    // Apart from the kept file and the report, which were given out.
    expect(dump().replaceAll('Zdenka Ořechovásk', '').split(NAME).length - 1).toBe(
      done.reports.length === 0 ? 0 : JSON.stringify(await server.store.report(1)).split(NAME).length - 1,
    )
    const other = await erasing({ what: 'person', name: 'Vera Lund' })
    expect(other.pseudonym).toBe('person 2')
    expect((await verify()).faults).toEqual([])
  })

  it('is refused while they may sign in', async () => {
    await server.store.write((writer) =>
      writer.addPerson({ name: NAME, role: 'inspector', password: null }, { at: 1, who }),
    )
    const answer = await server.store
      .write((writer) => writer.erase({ what: 'person', name: NAME }, { who, reason: 'x', at: 2 }))
      .catch((error: Error) => error.name)
    expect(answer).toBe('StillSigningInError')
  })

  it('does not hide a row that was changed by another way before', async () => {
    const database = new Database(join(server.folder, 'as-sintered.sqlite'))
    database.exec("update remark set text = 'something else' where id = 1")
    database.close()
    expect((await verify()).faults).toHaveLength(1)
    await erasing({ what: 'person', name: who === 'Ada Root' ? NAME : who })
    expect((await verify()).faults).toMatchObject([{ kind: 'row', what: expect.stringMatching(/remark/) }])
  })
})

describe('erasing files', () => {
  it('removes the bytes, keeps the measurements, and verification finds a file that came back', async () => {
    const [name] = readdirSync(join(server.folder, 'files'))
    const path = join(server.folder, 'files', name as string)
    expect(await erasing({ what: 'files', imports: [1] })).toMatchObject({ files: [name], parts: 0 })
    expect(existsSync(path)).toBe(false)
    expect((await server.store.receipt(1))?.fileName).toBe('erased file')
    expect((await server.store.partNumbers())[0]?.measurements).toBe(47)
    expect((await verify()).faults).toEqual([])
    expect((await fetch(`${server.url}/api/imports/1/file`)).status).toBe(404)
    const { writeFileSync } = await import('node:fs')
    writeFileSync(path, 'back again')
    expect((await verify()).faults).toMatchObject([{ kind: 'file', what: expect.stringMatching(/still/) }])
  })
})
