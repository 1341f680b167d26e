import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { ImportProgress, LayoutChoices, Receipt } from '../../../server/contract/receipt.ts'
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

async function retry(
  progress: ImportProgress,
  columns: Record<string, string>,
  more: LayoutChoices = {},
): Promise<Receipt> {
  const answer = await fetch(`${server.url}/api/imports/jobs/${progress.job}/retry`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({
      who: 'tests',
      takeGoodRows: false,
      convertUnits: false,
      partNumber: null,
      revision: null,
      layout: { ...(Object.keys(columns).length === 0 ? {} : { columns }), ...more },
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

  it('keeps its columns where something else is asked about a later file', async () => {
    const dated = (serial: string, date: string) =>
      `nup;wib;gax;zot;dar\nHB-204;${serial};B1;7;42,01\n`
        .replace('dar\n', 'dar;hek\n')
        .replace('42,01', `42,01;${date}`)
    const columns = { '1': 'partNumber', '2': 'serial', '3': 'build', '4': 'characteristic', '5': 'value' }
    const first = await upload('clear.csv', dated('S5', '2026-03-04'))
    await lastReceipt(server.url, first)
    expect(await retry(first, { ...columns, '6': 'measuredAt' })).toMatchObject({ verdict: 'taken' })
    const second = await upload('unclear.csv', dated('S6', '03/04/2026'))
    const asked = await lastReceipt(server.url, second)
    expect(asked.reading?.questions.map(({ about }) => about)).toEqual(['date-order'])
    const taken = await retry(second, {}, { dateOrder: 'day-month' })
    expect(taken).toMatchObject({ problem: null, verdict: 'taken', rowsTaken: 1 })
    // Both answers are remembered.
    expect(await server.bring('third.csv', dated('S7', '05/04/2026'))).toMatchObject({ verdict: 'taken' })
  })
})
