import { existsSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { PNG } from 'pngjs'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Report, ReportSummary, ReportsView, Verification } from '../../../server/contract/report.ts'
import { type RunningServer, startServer } from '../../tools/running-server.ts'
import { openTerminal, type TestTerminal } from '../cli/terminal.ts'

const measured = [
  'part_number,revision,serial,build,characteristic,value',
  ...Array.from(
    { length: 60 },
    (_, i) => `HB-204,C,${i + 1},${400 + Math.floor(i / 5)},1,${(10 + ((i * 7) % 11) / 100).toFixed(2)}`,
  ),
].join('\n')
const drawing =
  'part_number,revision,designator,name,kind,nominal,lower,upper,unit,axis\nHB-204,C,1,length,length,10.05,9.8,10.3,mm,X\n'

describe('reports over HTTP', () => {
  let server: RunningServer
  beforeAll(async () => {
    server = await startServer()
    await server.bring('drawing.csv', drawing)
    expect((await server.bring('measured.csv', measured)).verdict).toBe('taken')
  })
  afterAll(() => server.stop())

  const order = (body: unknown, accept = 'application/json') =>
    fetch(`${server.url}/api/part-numbers/HB-204/C/report`, {
      method: 'POST',
      headers: { 'content-type': 'application/json', accept },
      body: JSON.stringify(body),
    })

  it('are made, listed, saved and verified', async () => {
    const made = await order({ who: 'Ines Quark', title: 'For release' })
    expect(made.status).toBe(201)
    const summary = (await made.json()) as ReportSummary
    expect(summary).toMatchObject({
      number: 1,
      title: 'For release',
      partNumber: 'HB-204',
      who: 'Ines Quark',
    })
    expect((await server.get<ReportsView>('/api/reports')).reports).toEqual([summary])
    const pdf = await fetch(server.url + (made.headers.get('location') as string))
    expect(pdf.headers.get('content-type')).toBe('application/pdf')
    expect(pdf.headers.get('content-disposition')).toContain('HB-204-C-report-1.pdf')
    const bytes = await pdf.arrayBuffer()
    const answer = await fetch(`${server.url}/api/reports/verify`, { method: 'POST', body: bytes })
    const verification = (await answer.json()) as Verification
    expect(verification).toMatchObject({ verdict: 'follows', report: { number: 1 } })
    expect(verification.grounds[0]).toContain('byte for byte as it was made')
    expect(await server.get<Verification>('/api/reports/1/verify')).toMatchObject({ verdict: 'follows' })
  }, 40_000)

  it('tell how far they are, line by line', async () => {
    const answer = await order({ who: 'Ines Quark', last: 5 }, 'application/x-ndjson')
    const lines = (await answer.text())
      .trimEnd()
      .split('\n')
      .map((line) => JSON.parse(line))
    expect(lines[0]).toEqual({ done: 1, all: 1 })
    expect(lines.at(-1)).toMatchObject({ report: { number: 2 } })
  })

  it('refuse a damaged logo with a sentence, and take a whole one', async () => {
    const send = (body: Buffer) =>
      fetch(`${server.url}/api/reports/1/file?format=pdf`, { method: 'POST', body: new Uint8Array(body) })
    const logo = PNG.sync.write(new PNG({ width: 20, height: 10 }))
    const refused = await send(logo.subarray(0, 40))
    expect(refused.status).toBe(400)
    expect(await refused.text()).toContain('The logo is damaged')
    expect((await send(logo)).headers.get('content-type')).toBe('application/pdf')
  }, 40_000)

  it('can be looked at without being kept', async () => {
    const csv = await (await fetch(`${server.url}/api/part-numbers/HB-204/C/report?format=csv`)).text()
    expect(csv).toContain('HB-204,C,sintered,400,411,1,length')
    expect((await server.get<ReportsView>('/api/reports')).reports).toHaveLength(2)
  })

  it.each([
    ['POST', '/api/part-numbers/NO/C/report', JSON.stringify({ who: 'x' }), 404],
    ['POST', '/api/part-numbers/HB-204/C/report', JSON.stringify({ who: 'x', from: '999' }), 404],
    ['POST', '/api/part-numbers/HB-204/C/report', JSON.stringify({}), 400],
    ['POST', '/api/reports/verify', 'no report', 400],
    ['POST', '/api/reports/1/file?format=pdf', 'no picture', 400],
    ['GET', '/api/reports/99/verify', null, 404],
    ['GET', '/api/reports/99/file', null, 404],
    ['GET', '/api/reports/1/file?format=doc', null, 400],
  ])(
    'say what is wrong: %s %s %s',
    async (method, path, body, status) => {
      const answer = await fetch(server.url + path, {
        method,
        body,
        headers: { 'content-type': 'application/json' },
      })
      expect(answer.status).toBe(status)
      const { error } = (await answer.json()) as { error: { what: string; next: string } }
      expect(error.what).not.toBe('')
      expect(error.next).not.toBe('')
    },
    40_000,
  )

  it('of an earlier form are neither compared nor printed as if they were of this one', async () => {
    const report = await server.get<Report>('/api/reports/1/file?format=json')
    const [shop] = (await server.get<{ partNumbers: { id: number }[] }>('/api/shop')).partNumbers
    const { number } = await server.store.write((writer) =>
      writer.addReport(shop?.id as number, (next) => ({ ...report, number: next, version: 1 })),
    )
    const verification = await server.get<Verification>(`/api/reports/${number}/verify`)
    expect(verification).toMatchObject({ verdict: 'unknown', changes: [] })
    expect(verification.said).toContain('an earlier version')
    const pdf = await fetch(`${server.url}/api/reports/${number}/file?format=pdf`)
    expect(pdf.status).toBe(422)
    expect(JSON.stringify(await pdf.json())).toContain('an earlier version')
    expect(await server.get<Report>(`/api/reports/${number}/file?format=json`)).toMatchObject({ version: 1 })
  })
})

describe('reports from the command line', () => {
  let terminal: TestTerminal
  beforeAll(async () => {
    terminal = openTerminal()
    for (const [name, text] of [
      ['drawing.csv', drawing],
      ['measured.csv', measured],
    ] as const) {
      writeFileSync(join(terminal.folder, name), text)
      expect(await terminal.run('take-in', join(terminal.folder, name))).toBe(0)
    }
  })
  afterAll(() => terminal.remove())

  it('are written to a file, and verified', async () => {
    const out = join(terminal.folder, 'report.json')
    expect(
      await terminal.run('report', 'HB-204', 'C', '--who', 'Ines Quark', '--format', 'json', '--out', out),
    ).toBe(0)
    expect(existsSync(out)).toBe(true)
    expect(await terminal.run('verify-report', out, '1')).toBe(0)
    expect(terminal.written.out.join('\n')).toContain(
      'Everything in this report follows from the data on record.',
    )
    writeFileSync(out, readFileSync(out, 'utf8').replace('"required":null', '"required":1.03'))
    expect(await terminal.run('verify-report', out)).toBe(3)
    writeFileSync(out, 'nothing')
    expect(await terminal.run('verify-report', out)).toBe(1)
    expect(await terminal.run('verify-report', '7')).toBe(1)
  })

  it('need a part number and a revision that are known', async () => {
    expect(await terminal.run('report', 'HB-204')).toBe(1)
    expect(await terminal.run('report', 'NO', 'A')).toBe(1)
    expect(terminal.written.err.join()).toContain('not known')
    expect(await terminal.run('report', 'HB-204', 'C', '--paper', 'a5')).toBe(1)
  })
})
