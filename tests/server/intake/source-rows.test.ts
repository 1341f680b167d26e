import { gzipSync } from 'node:zlib'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { fileOfSheet } from '../../../client/data/typed-file.ts'
import type { ImportChoices } from '../../../server/contract/receipt.ts'
import type { SourceRows } from '../../../server/contract/source-rows.ts'
import type { TypingView } from '../../../server/contract/typing.ts'
import { columnLetters } from '../../../src/words/column-letters.ts'
import { type RunningServer, startServer } from '../../tools/running-server.ts'
import { component, inspection, measurement, qifDocument } from './qif/document.ts'
import { CHARACTERISTICS } from './shop.ts'

let server: RunningServer
beforeAll(async () => {
  server = await startServer()
  await server.bring('drawing.csv', CHARACTERISTICS)
})
afterAll(() => server.stop())

const BRACKET = '/api/part-numbers/HB-204/C'

const sourceOf = (designator: string, build: string, serial: string, replicate = 1, part = BRACKET) =>
  server.get<SourceRows>(
    `${part}/characteristics/${encodeURIComponent(designator)}/builds/${build}/source?serial=${serial}&replicate=${replicate}`,
  )

async function taken(
  name: string,
  content: string | Uint8Array,
  choices: Partial<ImportChoices> = {},
): Promise<number> {
  const receipt = await server.bring(name, content, choices)
  expect(receipt).toMatchObject({ verdict: 'taken', refused: [] })
  return receipt.importId as number
}

describe('the cell that a value came from', () => {
  it('of one measurement a row', async () => {
    const importId = await taken(
      'rows.csv',
      'part_number,revision,build,serial,characteristic,value\nHB-204,C,R1,R1S1,1,42.01\n# a remark\nHB-204,C,R1,R1S1,2," 8.010"\n',
    )
    expect(await sourceOf('2', 'R1', 'R1S1')).toEqual({
      fileName: 'rows.csv',
      importId,
      line: 4,
      cell: { position: 6, heading: 'value', reference: 'F4', text: ' 8.010', readAs: 'measured value' },
      headings: ['part_number', 'revision', 'build', 'serial', 'characteristic', 'value'],
      rows: [
        { line: 1, cells: ['part_number', 'revision', 'build', 'serial', 'characteristic', 'value'] },
        { line: 2, cells: ['HB-204', 'C', 'R1', 'R1S1', '1', '42.01'] },
        { line: 3, cells: ['# a remark'] },
        { line: 4, cells: ['HB-204', 'C', 'R1', 'R1S1', '2', ' 8.010'] },
      ],
    })
  })

  it('of one part a row, in UTF-16, packed, with a decimal comma; a field over two lines is one row of a spreadsheet', async () => {
    const text =
      'Part number: HB-204\tRevision: C\n\nSerial\tBuild\tBemerkung\t1\tBore\tBore\nR2S1\tR2\t"zwei\nZeilen"\t42,01\t8,01\t8,01\nR2S2\tR2\t\t42,02\t8,02\t8,03\n'
    await taken('parts.tsv.gz', gzipSync(Buffer.from(`\ufeff${text}`, 'utf16le')))
    const cell = async (designator: string, serial: string, replicate = 1) =>
      (await sourceOf(designator, 'R2', serial, replicate)).cell
    expect(await cell('1', 'R2S2')).toMatchObject({
      position: 4,
      heading: '1',
      reference: 'D5',
      text: '42,02',
    })
    // The same characteristic twice, with equal values.
    expect(await cell('2', 'R2S1')).toMatchObject({ position: 5, reference: 'E4', text: '8,01' })
    expect(await cell('2', 'R2S1', 2)).toMatchObject({ position: 6, reference: 'F4', text: '8,01' })
    expect(await cell('2', 'R2S2', 2)).toMatchObject({ position: 6, heading: 'Bore', text: '8,03' })
    const source = await sourceOf('1', 'R2', 'R2S2')
    expect(source.line).toBe(6)
    expect(source.rows.map(({ line }) => line)).toEqual([2, 3, 4, 6])
  })

  it('of one characteristic a row', async () => {
    await taken(
      'across.csv',
      'P/N;HB-204;;\nRev;C;;\nSerial;;R3S1;R3S2\nBuild;;R3;R3\nFeature;Nominal;;\nOverall length;42;42,02;42,03\nBore;8;8,01;8,01\n',
    )
    expect((await sourceOf('2', 'R3', 'R3S2')).cell).toMatchObject({
      position: 4,
      reference: 'D7',
      text: '8,01',
    })
    expect((await sourceOf('1', 'R3', 'R3S1')).cell).toMatchObject({
      position: 3,
      reference: 'C6',
      text: '42,02',
    })
  })

  it('of pasted cells in blocks, and of a deviation', async () => {
    await taken(
      'pasted 2026-11-25 14-05-09.tsv',
      'Part number: HB-204\tRevision: C\tBuild: R4\nSerial: R4S1\nCharacteristic\tNominal\tDeviation\n1\t42\t0.02\nSerial: R4S2\nCharacteristic\tNominal\tDeviation\n1\t42\t-0.03\n',
    )
    expect((await sourceOf('1', 'R4', 'R4S2')).cell).toMatchObject({
      reference: 'C7',
      heading: 'Deviation',
      text: '-0.03',
      readAs: 'deviation from nominal',
    })
  })

  it('of values typed', async () => {
    const { characteristics } = await server.get<TypingView>(`${BRACKET}/typing?stage=sintered`)
    const cells = { '1': { text: '42,02', at: '2026-11-25 14:05:09' } }
    const about = { id: 't1', number: 'HB-204', revision: 'C', stage: 'sintered', build: 'R5' } as const
    const file = fileOfSheet(
      { ...about, gauge: '', inspector: '', designators: ['1'], rows: [{ serial: 'R5S1', cells }] },
      characteristics,
    )
    await taken(file.name, new Uint8Array(await file.arrayBuffer()))
    expect(await sourceOf('1', 'R5', 'R5S1')).toMatchObject({
      fileName: 'typed R5 t1.csv',
      line: 2,
      cell: { heading: 'value', reference: 'F2', text: '42.02' },
    })
  })

  it('of results in QIF: the element, also where the document is a single line', async () => {
    const value = (text: string) => measurement('Diameter', '12', `<Value>${text}</Value>`)
    const document = (parts: readonly [string, string]) =>
      qifDocument({
        results:
          inspection('<Id>20</Id>', value('8.012')) +
          inspection('<Id>21</Id>', value('8.013').replace('30', '31')),
        components: component('20', parts[0]) + component('21', parts[1]),
      })
    for (const [parts, content] of [
      [['Q1', 'Q2'], document(['Q1', 'Q2'])],
      [['Q3', 'Q4'], document(['Q3', 'Q4']).replace(/\s*\n\s*/g, ' ')],
    ] as const) {
      await taken(`${parts[0]}.qif`, content, { build: 'Q' })
      for (const [i, written] of ['8.012', '8.013'].entries()) {
        const { line, cell, rows } = await sourceOf('2', 'Q', parts[i] as string)
        expect(cell).toMatchObject({ position: null, heading: null, text: written, readAs: 'measured value' })
        expect(cell?.reference).toBe(
          `QIFDocument/Results/MeasurementResultsSet/MeasurementResults/MeasuredCharacteristics/CharacteristicMeasurements/DiameterCharacteristicMeasurement[@id="3${i}"]/Value`,
        )
        expect(rows.find((row) => row.line === line)?.cells).toHaveLength(1)
      }
    }
  })
})

describe('a row of a file', () => {
  it('by its line, as long as it is only asked about, and in the file that was taken', async () => {
    const content =
      'part_number,revision,build,serial,characteristic,value\nHB-204,C,R9,R9S1,1,4x\nHB-204,C,R9,R9S2,1,42\n'
    const answer = await fetch(`${server.url}/api/imports?name=bad.csv`, { method: 'POST', body: content })
    const { job } = (await answer.json()) as { job: string }
    await expect
      .poll(async () => (await server.get<{ state: string }>(`/api/imports/jobs/${job}`)).state)
      .toBe('finished')
    const refused = await server.get<SourceRows>(`/api/imports/jobs/${job}/lines/2?position=6`)
    expect(refused).toMatchObject({ importId: null, line: 2, cell: { reference: 'F2', text: '4x' } })
    const importId = await taken('good.csv', content.replace('4x', '42.03'))
    const row = `/api/imports/${importId}/lines`
    expect((await server.get<SourceRows>(`${row}/3`)).cell).toBeNull()
    expect((await server.get<SourceRows>(`${row}/3?position=value`)).cell).toMatchObject({
      reference: 'F3',
      text: '42',
    })
    expect((await fetch(`${server.url}${row}/9`)).status).toBe(404)
    expect((await fetch(`${server.url}${row}/0`)).status).toBe(400)
  })

  it('is said to be gone once the bytes are', async () => {
    const importId = await taken(
      'gone.csv',
      'part_number,revision,build,serial,characteristic,value\nHB-204,C,R10,R10S1,1,42.01\n',
    )
    const erased = await fetch(`${server.url}/api/record/erasures`, {
      method: 'POST',
      headers: { 'Content-Type': 'application/json' },
      body: JSON.stringify({
        wanted: { what: 'files', imports: [importId] },
        who: 'tests',
        reason: 'asked for',
      }),
    })
    expect(erased.status, await erased.clone().text()).toBeLessThan(300)
    const answer = await fetch(`${server.url}${BRACKET}/characteristics/1/builds/R10/source?serial=R10S1`)
    expect(answer.status).toBe(410)
    expect(JSON.stringify(await answer.json())).toContain(`file of import ${importId} is not kept any more`)
  })
})

it('columns are named as spreadsheets name them', () => {
  expect([0, 25, 26, 51, 52, 701, 702].map(columnLetters)).toEqual(['A', 'Z', 'AA', 'AZ', 'BA', 'ZZ', 'AAA'])
})
