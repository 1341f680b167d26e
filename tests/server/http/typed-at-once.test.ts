import { afterAll, beforeAll, expect, it } from 'vitest'
import { createIntakeQueue, type IntakeChannel } from '../../../client/data/intake-queue.ts'
import { decisionsOf, fileOfSheet } from '../../../client/data/typed-file.ts'
import { type TypedSheet, withCell, withDecision, withSerial } from '../../../client/data/typed-sheet.ts'
import { intakeAddress } from '../../../client/data/upload.ts'
import { EMPTY_ROW } from '../../../client/data/use-typed-sheet.ts'
import type { ImportProgress } from '../../../server/contract/receipt.ts'
import type { MeasuredPart, TypingView } from '../../../server/contract/typing.ts'
import type { SubgroupView } from '../../../server/contract/views.ts'
import { type RunningServer, startServer } from '../../tools/running-server.ts'

/** Two inspectors who type parts of one build at once. */

let server: RunningServer
beforeAll(async () => {
  server = await startServer()
  await server.bring(
    'drawing.csv',
    'part_number,revision,designator,name,kind,nominal,lower,upper,unit\nBX-1,A,1,Length,length,10,9.8,10.2,mm\n',
  )
})
afterAll(() => server.stop())

const sheet = (inspector: string, serial: string, text: string, seconds: number): TypedSheet => {
  const empty: TypedSheet = {
    id: inspector,
    number: 'BX-1',
    revision: 'A',
    stage: 'sintered',
    build: 'B1',
    gauge: 'calliper 2',
    inspector,
    designators: ['1'],
    rows: [{ serial: '', cells: {} }],
  }
  return withCell(withSerial(empty, 0, serial), 0, '1', text, new Date(2026, 10, 25, 14, 5, seconds))
}

it('both get in; what both measured is a doubt, and nothing is lost', async () => {
  const { characteristics } = await server.get<TypingView>('/api/part-numbers/BX-1/A/typing?stage=sintered')
  const bring = async (typed: TypedSheet) => {
    const file = fileOfSheet(typed, characteristics)
    return await server.bring(file.name, new Uint8Array(await file.arrayBuffer()))
  }
  const [one, two] = await Promise.all([
    bring(sheet('Ines Quark', 'S1', '10,01', 1)),
    bring(sheet('Emil Rau', 'S2', '10.02', 1)),
  ])
  expect([one.verdict, two.verdict]).toEqual(['taken', 'taken'])
  const again = await bring(sheet('Mara Lohn', 'S1', '10.03', 2))
  expect(again.verdict).toBe('asking')
  expect(again.doubtCounts).toContainEqual({ kind: 'measured-before', rows: 1, waiting: 1 })
  // The same sheet once more, as after a power cut.
  expect((await bring(sheet('Ines Quark', 'S1', '10,01', 1))).verdict).toBe('known')
  const { values } = await server.get<SubgroupView>(
    '/api/part-numbers/BX-1/A/characteristics/1/builds/B1?stage=sintered',
  )
  expect(values.map(({ serial, value, inspector }) => [serial, value, inspector])).toEqual([
    ['S1', 10.01, 'Ines Quark'],
    ['S2', 10.02, 'Emil Rau'],
  ])
})

it('what was decided on the sheet is not asked about again; what was not, is', async () => {
  const { characteristics } = await server.get<TypingView>('/api/part-numbers/BX-1/A/typing?stage=sintered')
  const part = await server.get<MeasuredPart>('/api/part-numbers/BX-1/A/typing/part?stage=sintered&serial=S1')
  expect(part).toMatchObject({
    serial: 'S1',
    build: 'B1',
    values: [{ designator: '1', replicate: 1, value: 10.01, isLeftOut: false }],
  })
  expect(await server.get('/api/part-numbers/BX-1/A/typing/part?stage=sintered&serial=S77')).toEqual({
    serial: 'S77',
    build: null,
    values: [],
  })
  const again = withCell(
    withSerial({ ...sheet('Mara Lohn', 'S1', '10.03', 2), rows: [EMPTY_ROW, EMPTY_ROW] }, 1, 'S8'),
    1,
    '1',
    '1.001',
    new Date(2026, 10, 25, 15),
  )
  const both = withCell(withSerial(again, 0, 'S1'), 0, '1', '10.04', new Date(2026, 10, 25, 15))
  const half = withDecision(both, 0, '1', 'measured-before', true)
  const queue = createIntakeQueue(channelTo(server.url), () => undefined)
  const handIn = async (typed: TypedSheet) => {
    const [key] = queue.add([fileOfSheet(typed, characteristics)], 'tests', { doubts: decisionsOf(typed) })
    await expect.poll(() => queue.items().find((item) => item.key === key)?.state).toBe('done')
    return queue.items().find((item) => item.key === key)?.receipt
  }
  const asked = await handIn(half)
  expect(asked).toMatchObject({ verdict: 'asking', importId: null })
  expect(asked?.doubts?.filter(({ decision }) => decision === 'waiting')).toMatchObject([
    { kind: 'decimal-point', line: 3 },
  ])
  const whole = await handIn(withDecision(half, 1, '1', 'decimal-point', true))
  expect(whole).toMatchObject({ verdict: 'taken', rowsTaken: 2 })
})

/** The server as the queue speaks to it, without the browser's ways of following. */
function channelTo(url: string): IntakeChannel {
  const answer = async (address: string, init: RequestInit) =>
    (await (await fetch(url + address, init)).json()) as ImportProgress
  const asJson = { 'Content-Type': 'application/json' }
  return {
    send: (file, choices) => answer(intakeAddress(file.name, choices), { method: 'POST', body: file }),
    watch: async (job) => {
      await (await fetch(`${url}/api/imports/jobs/${job}/progress`)).text()
      return await answer(`/api/imports/jobs/${job}`, {})
    },
    retry: (job, choices) =>
      answer(`/api/imports/jobs/${job}/retry`, {
        method: 'POST',
        headers: asJson,
        body: JSON.stringify(choices),
      }),
    cancel: (job) => answer(`/api/imports/jobs/${job}`, { method: 'DELETE' }),
    sample: () => answer('/api/sample-shop', { method: 'POST' }),
  }
}
