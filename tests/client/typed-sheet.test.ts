import { describe, expect, it } from 'vitest'
import { outsideWords, remarksOf } from '../../client/data/typed-checks.ts'
import { conditionFiles, decisionsOf, fileOfSheet, leftOfSheet } from '../../client/data/typed-file.ts'
import {
  decimalOf,
  type TypedSheet,
  withCell,
  withDecision,
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
  characteristics: [length, flatness],
  spreads: [],
  builds: [],
  gauges: {},
  furnaceLoads: [],
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
    expect(leftOfSheet(sheet, sheet, receipt('taken', []))).toBeNull()
    expect(leftOfSheet(sheet, sheet, receipt('known', []))).toBeNull()
    expect(leftOfSheet(sheet, sheet, receipt('refused', [2]))).toBe(sheet)
    expect(leftOfSheet(sheet, sheet, receipt('asking', []))).toBe(sheet)
    // What was typed after it was handed in is not in.
    const later = withCell(sheet, 0, '1', '25.39', new Date(2026, 10, 25, 14, 6))
    expect(leftOfSheet(later, sheet, receipt('taken', []))?.rows).toEqual([
      { serial: 'S1', cells: { '1': { text: '25.39', at: '2026-11-25 14:06:00' } } },
    ])
    expect(leftOfSheet(sheet, sheet, receipt('taken-in-part', [3]))?.rows).toEqual([
      { serial: 'S1', cells: { '2': { text: '0.05', at: '2026-11-25 14:05:09' } } },
    ])
  })

  it('carries decisions on doubts along, by the place of each value in its file', () => {
    const sheet = withCell(typed('1', '2.54'), 0, '2', '0.05', at)
    const kept = withDecision(sheet, 0, '1', 'decimal-point', true)
    expect(remarksOf(kept, view)[0]).toMatchObject({ doubt: 'decimal-point', isKept: true })
    expect(decisionsOf(kept)).toEqual({
      rows: [{ kind: 'decimal-point', line: 2, position: 6, decision: 'keep' }],
    })
    expect(decisionsOf(withDecision(kept, 0, '1', 'decimal-point', false))).toEqual({ rows: [] })
    // Another text is another doubt.
    expect(decisionsOf(withCell(kept, 0, '1', '2.55', at))).toEqual({ rows: [] })
  })

  it('says of a part what is on record of it', () => {
    const value = {
      designator: '1',
      replicate: 1,
      value: 25.42,
      judged: 25.42,
      measuredAt: null,
      importId: 7,
      line: 2,
    }
    const part = (build: string) =>
      new Map([['S1', { serial: 'S1', build, values: [{ ...value, isLeftOut: false }] }]])
    const sheet = typed('1', '25.41')
    expect(remarksOf(sheet, view, part('B, 1'))).toMatchObject([
      { kind: 'doubt', doubt: 'measured-before', text: expect.stringContaining('25.42 mm in import 7') },
    ])
    expect(remarksOf(sheet, view, part('B2'))[0]).toMatchObject({
      kind: 'fault',
      text: 'Part S1 is on record in build B2, not B, 1.',
    })
    expect(decisionsOf(withDecision(sheet, 0, '1', 'measured-before', true))).toEqual({
      rows: [{ kind: 'measured-before', line: 2, position: null, decision: 'keep' }],
    })
  })

  it('makes files of what it says of a new build and a new furnace load', async () => {
    const conditions = {
      powder_lot: 'K7',
      scale_x: '1.1851',
      furnace_load: 'L9',
      furnace: 'F2',
      printer: ' ',
    }
    const sheet = { ...typed('1', '25.41'), conditions }
    const texts = async (isNew: { build: boolean; load: boolean }) =>
      await Promise.all(conditionFiles(sheet, isNew).map((file) => file.text()))
    expect(await texts({ build: true, load: true })).toEqual([
      'build,powder_lot,scale_x\n"B, 1",K7,1.1851\n',
      'furnace_load,furnace\nL9,F2\n',
    ])
    expect(await texts({ build: false, load: false })).toEqual([])
    expect((await fileOfSheet(sheet, view.characteristics).text()).split('\n')[1]).toMatch(/,L9$/)
  })
})
