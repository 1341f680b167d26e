import { describe, expect, it } from 'vitest'
import {
  decimalOf,
  fileOfSheet,
  leftOfSheet,
  outsideWords,
  remarksOf,
  type TypedSheet,
  withCell,
  withSerial,
} from '../../client/data/typed-sheet.ts'
import type { Receipt } from '../../server/contract/receipt.ts'
import type { TypingView } from '../../server/contract/typing.ts'

const length = {
  id: 1,
  designator: '1',
  name: 'Length',
  kind: 'length',
  nominal: 25.4,
  lower: 25.3,
  upper: 25.5,
  unit: 'mm',
  axis: 'X',
} as const
const flatness = {
  ...length,
  id: 2,
  designator: '2',
  name: 'Flat',
  kind: 'flatness',
  nominal: 0,
  lower: null,
  upper: 0.1,
} as const
const view = {
  partNumber: { id: 1, number: 'BX', revision: 'A', name: null },
  stage: 'sintered',
  inFilesOnly: [],
  characteristics: [length, flatness],
  spreads: [],
  builds: [],
} as TypingView
const at = new Date(2026, 10, 25, 14, 5, 9)
const empty: TypedSheet = {
  id: 'x',
  number: 'BX',
  revision: 'A',
  stage: 'sintered',
  build: 'B, 1',
  gauge: '',
  inspector: 'I',
  designators: ['1', '2'],
  rows: [{ serial: '', cells: {} }],
}
const typed = (designator: string, text: string) =>
  withCell(withSerial(empty, 0, 'S1'), 0, designator, text, at)

describe('a sheet of typed values', () => {
  it('reads decimal comma and point alike, and nothing else', () => {
    expect(['10,02', '10.02', '−3', '.5', '-,5', '+1'].map(decimalOf)).toEqual([
      '10.02',
      '10.02',
      '-3',
      '0.5',
      '-0.5',
      '1',
    ])
    expect(['', '1.2.3', '1,234.5', 'x', '1e5', '-'].map(decimalOf)).toEqual([
      null,
      null,
      null,
      null,
      null,
      null,
    ])
  })

  it('makes the same file every time', async () => {
    const sheet = typed('1', '25,41')
    const text = await fileOfSheet(sheet, view.characteristics).text()
    expect(text.split('\n')[1]).toBe('BX,A,"B, 1",S1,1,25.41,mm,sintered,,I,2026-11-25 14:05:09')
    expect(await fileOfSheet(sheet, view.characteristics).text()).toBe(text)
  })

  it('says what the intake would say, before it is handed in', () => {
    expect(remarksOf(typed('1', '25.4'), view)).toEqual([])
    // 25.5 is the limit itself, and conforms.
    expect(remarksOf(typed('1', '25.5'), view)).toEqual([])
    expect(remarksOf(typed('1', '25.51'), view)).toMatchObject([{ kind: 'outside' }])
    expect(remarksOf(typed('1', '2.54'), view)[0]).toMatchObject({ kind: 'doubt', likely: '25.4' })
    expect(remarksOf(typed('1', '1.0'), view)[0]).toMatchObject({
      kind: 'doubt',
      likely: '25.4',
      text: expect.stringContaining('as in'),
    })
    expect(remarksOf(typed('1', '-25.4'), view)[0]).toMatchObject({ kind: 'doubt', likely: '25.4' })
    expect(remarksOf(typed('2', '-0.01'), view)).toMatchObject([{ kind: 'fault' }])
    expect(remarksOf(withCell(empty, 0, '1', '25.4', at), view)).toMatchObject([{ kind: 'fault' }])
    expect(outsideWords(25.2, length)).toBe('Out of specification: 0.1 mm below 25.3.')
  })

  it('keeps refused values, and lets go of those that are in', () => {
    const sheet = withCell(typed('1', '25.4'), 0, '2', '0.05', at)
    const receipt = (verdict: Receipt['verdict'], lines: number[]) =>
      ({
        verdict,
        refused: lines.map((line) => ({ line, column: null, value: '', reason: '' })),
      }) as unknown as Receipt
    expect(leftOfSheet(sheet, receipt('taken', []))).toBeNull()
    expect(leftOfSheet(sheet, receipt('known', []))).toBeNull()
    expect(leftOfSheet(sheet, receipt('refused', [2]))).toBe(sheet)
    expect(leftOfSheet(sheet, receipt('asking', []))).toBe(sheet)
    expect(leftOfSheet(sheet, receipt('taken-in-part', [3]))?.rows).toEqual([
      { serial: 'S1', cells: { '2': { text: '0.05', at: '2026-11-25 14:05:09' } } },
    ])
  })
})
