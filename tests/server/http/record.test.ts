import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type {
  RecordPeopleView,
  RecordVerification,
  RecordView,
  ReportRecordView,
} from '../../../server/contract/record.ts'
import { type RunningServer, startServer } from '../../tools/running-server.ts'
import { openTerminal, type TestTerminal } from '../cli/terminal.ts'

let server: RunningServer
let terminal: TestTerminal
beforeAll(async () => {
  server = await startServer()
  terminal = openTerminal()
  const rows = Array.from({ length: 30 }, (_, i) => `HB-1,A,S${i},B${i % 5},1,${10 + (i % 7) / 100}`)
  await server.bring(
    'drawing.csv',
    'part_number,revision,designator,name,nominal,lower,upper,unit\nHB-1,A,1,Width,10,9.9,10.1,mm\nHB-1,A,2,Bore,5,4.9,5.1,mm\n',
  )
  await server.bring(
    'first.csv',
    `part_number,revision,serial,build,characteristic,value\n${rows.join('\n')}\n`,
  )
  await server.bring(
    '=cmd.csv',
    'part_number,revision,serial,build,characteristic,value\nHB-1,A,S99,B9,1,10.02\n',
  )
  const report = await post('/api/part-numbers/HB-1/A/report?stage=sintered', { who: 'Vera Lund' })
  expect(report.status).toBe(201)
  await post('/api/part-numbers/HB-1/A/characteristics/1/exclusions?stage=sintered', {
    build: 'B1',
    single: null,
    everyCharacteristic: false,
    who: 'Ines Quark',
    reason: '+41 spilt, "wet"',
  })
})
afterAll(async () => {
  await server.stop()
  terminal.remove()
})

function post(path: string, body: unknown): Promise<Response> {
  return fetch(server.url + path, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify(body),
  })
}
const record = (query = '') => server.get<RecordView>(`/api/record${query}`)
const kinds = async (query: string) => (await record(query)).entries.map(({ kind }) => kind)

describe('the record over HTTP', () => {
  it('lists entries, newest first, in words and with what they are about', async () => {
    const { entries, head, next } = await record()
    expect(next).toBeNull()
    expect(entries.map(({ kind }) => kind)).toEqual(['exclusion', 'report', 'import', 'import', 'import'])
    expect(head).toEqual({ sequence: entries[0]?.sequence, hash: entries[0]?.hash })
    expect(entries[0]).toMatchObject({
      who: 'Ines Quark',
      did: 'left build B1 out, sintered',
      reason: '+41 spilt, "wet"',
    })
    expect(entries[0]?.subjects).toContainEqual({
      kind: 'characteristic',
      id: 1,
      words: 'characteristic 1',
      partNumber: { number: 'HB-1', revision: 'A' },
      designator: '1',
    })
    expect(entries[3]?.did).toBe('brought first.csv: 30 rows taken')
  })

  it('finds them by kind, person, subject, time and text', async () => {
    expect(await kinds('?kind=exclusion')).toEqual(['exclusion'])
    expect(await kinds('?person=Vera%20Lund')).toEqual(['report'])
    expect(await kinds('?about=import:2')).toEqual(['import'])
    expect(await kinds('?about=part-number:1')).toHaveLength(5)
    expect(await kinds('?text=SPILT')).toEqual(['exclusion'])
    expect(await kinds('?to=1000')).toEqual([])
    expect((await server.get<RecordPeopleView>('/api/record/people')).people).toEqual([
      'Ines Quark',
      'tests',
      'Vera Lund',
    ])
  })

  it('goes on page by page without leaving one out', async () => {
    const seen: number[] = []
    let next: number | null = null
    do {
      const page: RecordView = await record(`?limit=2${next === null ? '' : `&before=${next}`}`)
      seen.push(...page.entries.map(({ sequence }) => sequence))
      next = page.next
    } while (next !== null)
    expect(seen).toEqual([5, 4, 3, 2, 1])
  })

  it.each([
    '?kind=nothing',
    '?about=import',
    '?about=moon:1',
    '?limit=0',
    '?from=x',
    '?about=import:99999999999',
  ])('refuses %s', async (query) => {
    expect((await fetch(`${server.url}/api/record${query}`)).status).toBe(400)
  })

  it('is saved as CSV that no spreadsheet runs, and as JSON', async () => {
    const csv = await (await fetch(`${server.url}/api/record/file?format=csv`)).text()
    const lines = csv.replace('\uFEFF', '').trimEnd().split('\r\n')
    expect(lines[0]).toMatch(/^entry,time \(UTC\),who,/)
    expect(lines).toHaveLength(6)
    expect(lines[1]).toContain('"\'+41 spilt, ""wet"""')
    const json = await server.get<{ head: unknown; entries: unknown[] }>(
      '/api/record/file?format=json&kind=import',
    )
    expect(json.entries).toHaveLength(3)
    expect(json.head).toMatchObject({ sequence: 5 })
  })

  it('leads from a report to the entries that shaped it, up to when it was made', async () => {
    const shaped = await server.get<ReportRecordView>('/api/reports/1/record')
    // Not what was left out afterwards; and the drawing shaped it too.
    expect(shaped.entries.map(({ kind, sequence }) => [kind, sequence])).toEqual([
      ['import', 3],
      ['import', 2],
      ['import', 1],
    ])
    expect((await fetch(`${server.url}/api/reports/9/record`)).status).toBe(404)
    await post('/api/part-numbers/HB-1/A/report?stage=sintered', { who: 'Vera Lund' })
    const [id] = shaped.characteristics.map((each) => each.id)
    const of = (characteristic: number) =>
      server.get<ReportRecordView>(`/api/reports/2/record?characteristic=${characteristic}`)
    expect((await of(id as number)).entries.map(({ kind }) => kind)).toContain('exclusion')
    expect((await of(2)).entries.map(({ kind }) => kind)).not.toContain('exclusion')
  })

  it('tells what verification found, and remembers it', async () => {
    const { hash } = (await record()).head ?? { hash: '' }
    const found = await server.get<RecordVerification>(`/api/record/verification?files=true&expect=${hash}`)
    expect(found).toMatchObject({ faults: [], imports: 3, files: 3, expected: { sequence: found.entries } })
    expect((await record()).verified).toEqual(found)
    expect(
      (await server.get<RecordVerification>(`/api/record/verification?expect=${'0'.repeat(64)}`)).faults,
    ).toMatchObject([{ kind: 'head' }])
  })
})

describe('verify-record', () => {
  const run = (...args: string[]) => terminal.run('verify-record', '--data', server.folder, ...args)

  it('says that all is as it was written, prints the head, and takes it back later', async () => {
    expect(await run()).toBe(0)
    const [, hash] = /Head: entry \d+, ([0-9a-f]{64})$/.exec(terminal.written.out.at(-1) ?? '') ?? []
    expect(hash).toBe((await server.store.recordHead())?.hash)
    expect(await run('--expect', hash as string)).toBe(0)
    expect(await run('--expect', 'f'.repeat(64))).toBe(2)
    expect(await run('--expect', 'abc')).toBe(1)
    expect(terminal.written.err[0]).toMatch(/64 hexadecimal digits/)
  })

  it('finds a kept file that was changed', async () => {
    const { sha256 } = (await server.store.receipt(3)) ?? { sha256: '' }
    writeFileSync(join(server.folder, 'files', sha256), 'something else')
    expect(await run('--json')).toBe(2)
    expect(JSON.parse(terminal.written.out[0] as string).faults).toMatchObject([
      { kind: 'file', sequence: 3 },
    ])
    expect(await run('--without-files')).toBe(0)
  })
})
