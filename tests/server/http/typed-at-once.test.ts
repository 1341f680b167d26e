import { afterAll, beforeAll, expect, it } from 'vitest'
import { fileOfSheet, type TypedSheet, withCell, withSerial } from '../../../client/data/typed-sheet.ts'
import type { TypingView } from '../../../server/contract/typing.ts'
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
