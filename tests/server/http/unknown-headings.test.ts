import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { ImportProgress, Receipt } from '../../../server/contract/receipt.ts'
import { lastReceipt, type RunningServer, startServer } from '../../tools/running-server.ts'

/** A file whose headings nobody knows, over HTTP: refused with its rows, explained once, and taken from then on. */

let server: RunningServer

beforeAll(async () => {
  server = await startServer()
})
afterAll(() => server.stop())

const file = (serial: string) =>
  `Hall 3; shift 2\nqua;blorp;zont;fleeg;grix;vump\nHB-204;${serial};B1;7;42,01;ok\nHB-204;${serial};B1;8;8,02;ok\n`

const upload = async (name: string, content: string): Promise<ImportProgress> =>
  (await (
    await fetch(`${server.url}/api/imports?${new URLSearchParams({ name, who: 'tests' })}`, {
      method: 'POST',
      body: content,
    })
  ).json()) as ImportProgress

async function retry(progress: ImportProgress, columns: Record<string, string>): Promise<Receipt> {
  const answer = await fetch(`${server.url}/api/imports/jobs/${progress.job}/retry`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({
      who: 'tests',
      takeGoodRows: false,
      convertUnits: false,
      partNumber: null,
      revision: null,
      layout: { columns },
    }),
  })
  expect(answer.status).toBe(202)
  return lastReceipt(server.url, (await answer.json()) as ImportProgress)
}

describe('a file without a heading that is known', () => {
  it('is refused with its first rows, taken as the inspector says, and remembered', async () => {
    const progress = await upload('first.csv', file('S1'))
    const refused = await lastReceipt(server.url, progress)
    expect(refused.verdict).toBe('refused')
    expect(refused.problem?.what).toMatch(/headings that this program knows/)
    expect(refused.reading).toMatchObject({ shape: null, headingLine: 2, questions: [] })
    expect(refused.reading?.columns.map(({ heading, role }) => [heading, role])).toEqual(
      ['qua', 'blorp', 'zont', 'fleeg', 'grix', 'vump'].map((heading) => [heading, null]),
    )
    expect(refused.reading?.rows.map(({ line, fields }) => [line, Object.values(fields)])).toEqual([
      [3, ['HB-204', 'S1', 'B1', '7', '42,01', 'ok']],
      [4, ['HB-204', 'S1', 'B1', '8', '8,02', 'ok']],
    ])

    const taken = await retry(progress, {
      '1': 'partNumber',
      '2': 'serial',
      '3': 'build',
      '4': 'characteristic',
      '5': 'value',
    })
    expect(taken).toMatchObject({ problem: null, refused: [], verdict: 'taken', rowsTaken: 2 })

    const next = await server.bring('second.csv', file('S2'))
    expect(next).toMatchObject({ verdict: 'taken', rowsTaken: 2 })
    expect(next.reading?.remembered?.who).toBe('tests')
  })
})
