import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { remarksOf } from '../../../client/data/typed-checks.ts'
import { fileOfSheet } from '../../../client/data/typed-file.ts'
import { ownCell, ownFields } from '../../../client/data/typed-own-limits.ts'
import { type TypedSheet, withCell } from '../../../client/data/typed-sheet.ts'
import type { SourceRows } from '../../../server/contract/source-rows.ts'
import type { MeasuredPart, TypingView } from '../../../server/contract/typing.ts'
import type { CapabilityView, ChartView, SubgroupView } from '../../../server/contract/views.ts'
import type { Characteristic } from '../../../src/domain/characteristic.ts'
import { plain } from '../../../src/words/sentence.ts'
import { type RunningServer, startServer } from '../../tools/running-server.ts'

const SAID = 'Values are multiples of the part’s own tolerance'

/** Twelve builds of four parts: a position of 0.2 at maximum material condition, and a length beside it. */
describe('pages of parts with limits of their own', () => {
  let server: RunningServer
  const about = '/api/part-numbers/P-1/A'
  beforeAll(async () => {
    server = await startServer()
    const rows = Array.from({ length: 48 }, (_, i) => {
      const [serial, build] = [`S-${i}`, `00${10 + Math.floor(i / 4)}`]
      const bonus = [0, 0.05, 0.1, 0.2][i % 4] as number
      return [
        `P-1,A,${serial},${build},1,length,length,10,9.9,10.1,,,${(10 + (i % 7) / 100).toFixed(2)}`,
        `P-1,A,${serial},${build},7,position of bore,position,,,,0.2,${bonus},${((0.2 + bonus) * (0.3 + (i % 5) / 10)).toFixed(4)}`,
      ]
    }).flat()
    const heading =
      'part number,revision,serial,build,characteristic,name,kind,nominal,lower limit,upper limit,tolerance,bonus,value'
    expect(await server.bring('own.csv', [heading, ...rows].join('\n'))).toMatchObject({
      verdict: 'taken',
      refused: [],
    })
  })
  afterAll(() => server.stop())

  it('show each value with what was measured and its own limit, and lead to the cell of what was measured', async () => {
    const { values } = await server.get<SubgroupView>(`${about}/characteristics/7/builds/0011?stage=sintered`)
    expect(values.map(({ serial, own }) => [serial, own])).toEqual([
      ['S-4', { measured: 0.14, lower: null, upper: 0.2 }],
      ['S-5', { measured: 0.075, lower: null, upper: 0.25 }],
      ['S-6', { measured: 0.12, lower: null, upper: 0.3 }],
      ['S-7', { measured: 0.2, lower: null, upper: 0.4 }],
    ])
    for (const { value, own } of values)
      expect(value).toBeCloseTo((own?.measured ?? 0) / (own?.upper ?? 0), 12)
    const source = await server.get<SourceRows>(
      `${about}/characteristics/7/builds/0011/source?stage=sintered&serial=S-6&replicate=1`,
    )
    expect(source.cell?.text).toBe('0.1200')
    const lengths = await server.get<SubgroupView>(`${about}/characteristics/1/builds/0011?stage=sintered`)
    expect(lengths.values.every((value) => !('own' in value))).toBe(true)
  })

  it('say so beside the chart and the capability, and of no other characteristic', async () => {
    const chart = await server.get<ChartView>(`${about}/characteristics/7/chart?stage=sintered`)
    expect(plain(chart.grounds)).toContain(
      `${SAID}: 1 is a part exactly on the upper limit that it came with.`,
    )
    expect(chart.characteristic).toMatchObject({
      unit: '× own tolerance',
      upper: 1,
      ownLimits: { upper: 0.2, unit: 'mm' },
    })
    const other = await server.get<ChartView>(`${about}/characteristics/1/chart?stage=sintered`)
    expect(plain(other.grounds)).not.toContain(SAID)
    const capability = await server.get<CapabilityView>(`${about}/capability?stage=sintered`)
    expect(plain(capability.grounds)).toContain(
      'Judged in units of the part’s own tolerance: 7 position of bore.',
    )
    expect(capability.rows.map(({ ownTolerance }) => ownTolerance)).toEqual([
      null,
      { least: 0.2, greatest: 0.4 },
    ])
  })

  it('are typed with their bonus, checked by it, and judged by it as the sheet said', async () => {
    const view = await server.get<TypingView>(`${about}/typing?stage=sintered`)
    const position = view.characteristics.find(({ designator }) => designator === '7') as Characteristic
    expect(ownFields(position)).toEqual(['bonus'])
    const at = new Date(2026, 10, 25, 14, 5, 9)
    let sheet: TypedSheet = {
      id: 'typed',
      number: 'P-1',
      revision: 'A',
      stage: 'sintered',
      build: '0030',
      gauge: '',
      inspector: 'I',
      designators: ['1', '7'],
      rows: ['T-1', 'T-2'].map((serial) => ({ serial, cells: {} })),
    }
    const type = (row: number, cell: string, text: string) => {
      sheet = withCell(sheet, row, cell, text, at)
    }
    type(0, '1', '10,01')
    type(0, '7', '0,27')
    expect(remarksOf(sheet, view)).toMatchObject([
      {
        kind: 'fault',
        designator: '7',
        field: 'bonus',
        text: 'The bonus is missing: one of 0 is typed as 0.',
      },
    ])
    type(0, ownCell('7', 'bonus'), '0,1')
    type(1, '7', '0.27')
    type(1, ownCell('7', 'bonus'), '0.05')
    // The tolerance stated is 0.2 at maximum material condition: 0.3 for the first part, 0.25 for the second (ISO 2692).
    expect(remarksOf(sheet, view)).toMatchObject([
      { row: 1, kind: 'outside', text: 'Out of specification: 0.02 mm above 0.25.' },
    ])
    const receipt = await server.bring('typed.csv', await fileOfSheet(sheet, view.characteristics).text())
    expect(receipt).toMatchObject({ verdict: 'taken', refused: [], rowsTaken: 3, outOfSpecification: 1 })
    const { values } = await server.get<SubgroupView>(`${about}/characteristics/7/builds/0030?stage=sintered`)
    expect(values.map(({ serial, own }) => [serial, own])).toEqual([
      ['T-1', { measured: 0.27, lower: null, upper: 0.3 }],
      ['T-2', { measured: 0.27, lower: null, upper: 0.25 }],
    ])
    const part = await server.get<MeasuredPart>(`${about}/typing/part?stage=sintered&serial=T-2`)
    expect(part.values.map(({ value, judged }) => [value, judged])).toEqual([[0.27, 0.27 / 0.25]])
  })
})
