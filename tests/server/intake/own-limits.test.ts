import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import type { TracedValue } from '../../../server/contract/views.ts'
import { openShop, type Shop } from './shop.ts'

/** A hole's position at maximum material condition: 0.25 stated, and as much more as the hole is larger than 10.0. */
const HEADINGS = 'part number,revision,serial,build,characteristic,name,kind,tolerance,bonus,value,unit'
const ROWS = [
  'P-1,A,S1,B1,7,Position of hole,position,0.25,0,0.25,mm',
  'P-1,A,S2,B1,7,Position of hole,position,0.25,0.05,0.24,mm',
  'P-1,A,S3,B1,7,Position of hole,position,0.25,0.15,0.42,mm',
]
const FILE = [HEADINGS, ...ROWS].join('\n')

let shop: Shop
beforeEach(async () => {
  shop = await openShop()
})
afterEach(() => shop.close())

async function values(designator = '7', build = 'B1'): Promise<TracedValue[]> {
  const characteristic = (await shop.store.characteristics(1)).find((each) => each.designator === designator)
  const found = (await shop.store.builds(1, 'sintered')).find(({ name }) => name === build)
  if (characteristic === undefined || found === undefined) return []
  return await shop.store.values(characteristic.id, found.id, 'sintered')
}

const reasons = (receipt: Awaited<ReturnType<Shop['bring']>>) =>
  receipt.refused.map(({ line, column, reason }) => [line, column, reason.split('. ')[0]])

describe('limits of a part’s own', () => {
  it('are stated tolerance and bonus, and values are in units of them, in cells too', async () => {
    const receipt = await shop.bring(FILE)
    expect(receipt.refused).toEqual([])
    expect(receipt.verdict).toBe('taken')
    const [characteristic] = await shop.store.characteristics(1)
    expect(characteristic).toMatchObject({
      kind: 'position',
      nominal: null,
      lower: null,
      upper: 1,
      unit: '× own tolerance',
      axis: null,
      ownLimits: { sides: 'upper', nominal: null, lower: null, upper: 0.25, unit: 'mm' },
    })
    expect((await values()).map(({ serial, value, own }) => [serial, value, own])).toEqual([
      ['S1', 1, { measured: 0.25, lower: null, upper: 0.25 }],
      ['S2', 0.24 / 0.3, { measured: 0.24, lower: null, upper: 0.3 }],
      ['S3', 0.42 / 0.4, { measured: 0.42, lower: null, upper: 0.4 }],
    ])
    const [cell] = await shop.store.cells(1, 'sintered')
    expect(cell).toMatchObject({ n: 3, min: 0.8, max: 0.42 / 0.4 })
    expect(receipt.outOfSpecification).toBe(1)
    expect(receipt.nonconforming).toEqual([
      expect.objectContaining({
        serial: 'S3',
        value: 0.42,
        limit: 0.4,
        side: 'above',
        unit: 'mm',
        ofOwnTolerance: 0.42 / 0.4,
      }),
    ])
  })

  it('are found in a heading that says so, in a part a row too, beside each characteristic', async () => {
    const file = [
      'serial;build;Length 3;Pos 7;Limit incl. bonus;8;8 bonus (mm)',
      'upper limit;;42.1;0.25;;0.1;',
      'S1;B1;42.01;0.12;0.3;0.06;0.02',
      'S2;B1;42.02;0.2;0.25;0.05;0',
    ].join('\n')
    const receipt = await shop.bring(file, { partNumber: 'P-1', revision: 'A' })
    expect(receipt.refused).toEqual([])
    expect(receipt.problem).toBeNull()
    expect((await values('Pos 7')).map(({ value, own }) => [value, own?.upper])).toEqual([
      [0.4, 0.3],
      [0.8, 0.25],
    ])
    expect((await values('8')).map(({ value, own }) => [value, own?.upper])).toEqual([
      [0.5, 0.12],
      [0.5, 0.1],
    ])
    expect((await values('Length 3')).map(({ value, own }) => [value, own])).toEqual([
      [42.01, undefined],
      [42.02, undefined],
    ])
  })

  it('are told by a file of characteristics, whereupon columns of limits are the part’s own', async () => {
    await shop.bring(
      'part number,revision,characteristic,kind,upper,limit per part,unit\nP-1,A,7,position,0.25,yes,mm\nP-1,A,8,thickness,,both,mm\n',
    )
    const receipt = await shop.bring(
      [
        'part number,revision,serial,build,characteristic,lower limit,upper limit,value',
        'P-1,A,S1,B1,7,,0.5,0.25',
        'P-1,A,S1,B1,8,1.9,2.1,2.05',
        'P-1,A,S2,B1,8,1.8,2.0,1.9',
      ].join('\n'),
    )
    expect(receipt.refused).toEqual([])
    expect((await values('7')).map(({ value }) => value)).toEqual([0.5])
    const [first, second] = (await values('8')).map(({ value }) => value)
    expect(first).toBeCloseTo(0.5, 12)
    expect(second).toBeCloseTo(0, 12)
    expect((await shop.store.characteristics(1))[1]).toMatchObject({ lower: -1, upper: 1 })
  })

  it('differ from the limits of the drawing, which still may not differ from row to row', async () => {
    const receipt = await shop.bring(
      [
        'part number,revision,serial,build,characteristic,kind,upper limit,value',
        'P-1,A,S1,B1,7,position,0.25,0.2',
        'P-1,A,S2,B1,7,position,0.30,0.2',
      ].join('\n'),
    )
    expect(receipt.verdict).toBe('refused')
    expect(receipt.refused.map(({ line }) => line)).toEqual([3])
    expect(receipt.refused[0]?.reason).toContain('limit of its own')
  })

  it('are said by hand of a column whose heading does not say it, and remembered', async () => {
    const file = (serial: string) =>
      `part number,revision,serial,build,characteristic,kind,upper limit,value\nP-1,A,${serial}1,B1,7,position,0.25,0.2\nP-1,A,${serial}2,B1,7,position,0.40,0.2\n`
    expect((await shop.bring(file('S'), { layout: { columns: { '7': 'ownUpper' } } })).verdict).toBe('taken')
    expect((await shop.bring(file('T'))).verdict).toBe('taken')
    expect((await values()).map(({ value }) => value)).toEqual([0.8, 0.5, 0.8, 0.5])
  })

  it('are answered line by line where something is wrong with them', async () => {
    const rows = [
      ...ROWS,
      'P-1,A,S4,B1,7,Position of hole,position,0.25,,0.2,mm',
      'P-1,A,S5,B1,7,Position of hole,position,0.25,-0.01,0.2,mm',
      'P-1,A,S6,B1,7,Position of hole,position,0.25,some,0.2,mm',
      'P-1,A,S7,B1,7,Position of hole,position,0.30,0,0.2,mm',
      'P-1,A,S8,B1,9,Position of slot,position,,0.1,0.2,mm',
      'P-1,A,S9,B1,7,Position of hole,position,0.25,0.1,0.2,in',
    ]
    const receipt = await shop.bring([HEADINGS, ...rows].join('\n'))
    expect(receipt.verdict).toBe('refused')
    expect(reasons(receipt)).toEqual([
      [
        5,
        'bonus',
        'Each part of this characteristic is judged by an upper limit of its own, and the row gives none',
      ],
      [6, 'bonus', 'A bonus adds to the tolerance and cannot be negative'],
      [7, 'bonus', expect.stringMatching(/number/)],
      [8, null, expect.stringContaining('0.25 on record')],
      [9, 'bonus', 'A bonus needs the stated tolerance to be added to'],
      [10, null, expect.stringContaining('0.25 in is 6.35 mm')],
    ])
  })

  it('are missed on the first line as well, and good rows can be taken', async () => {
    const rows = ['P-1,A,S0,B1,7,Position of hole,position,0.25,,0.2,mm', ...ROWS]
    const receipt = await shop.bring([HEADINGS, ...rows].join('\n'), { takeGoodRows: true })
    expect(receipt.verdict).toBe('taken-in-part')
    expect(receipt.refused.map(({ line }) => line)).toEqual([2])
    expect(await values()).toHaveLength(3)
  })

  it('that are zero, negative, tighter than the drawing, crossed or at odds with the bonus are refused', async () => {
    const receipt = await shop.bring(
      [
        'part number,revision,serial,build,characteristic,kind,upper,own upper limit,own lower limit,bonus,value',
        'P-1,A,S1,B1,7,position,,0,,,0.2',
        'P-1,A,S2,B1,7,position,,-0.1,,,0.2',
        'P-1,A,S3,B1,8,position,0.25,0.2,,,0.2',
        'P-1,A,S4,B1,8,position,0.25,0.4,,0.1,0.2',
        'P-1,A,S5,B1,9,thickness,,2,2.1,,2.05',
      ].join('\n'),
    )
    expect(reasons(receipt).map(([line, column]) => [line, column])).toEqual([
      [2, 'own upper limit'],
      [3, 'own upper limit'],
      [4, 'own upper limit'],
      [5, 'bonus'],
      [6, 'own upper limit'],
    ])
    expect(receipt.refused[2]?.reason).toContain('takes nothing away')
  })

  it('are refused of a characteristic whose values were judged by the drawing, and the other way round', async () => {
    const plain =
      'part number,revision,serial,build,characteristic,kind,upper,value\nP-1,A,S1,B1,7,position,0.25,0.2\n'
    expect((await shop.bring(plain)).verdict).toBe('taken')
    const receipt = await shop.bring(FILE.replaceAll(',S', ',T'))
    expect(receipt.verdict).toBe('refused')
    expect(receipt.refused[0]?.reason).toContain('takes no limits of the part’s own')
    const defined = await shop.bring(
      'part number,revision,characteristic,kind,upper,limit per part\nP-1,A,7,position,0.25,yes\n',
    )
    expect(defined.verdict).toBe('refused')
    expect(defined.refused[0]?.column).toBe('limit per part')
  })

  it('may be told of a characteristic that is defined and not measured yet', async () => {
    await shop.bring(
      'part number,revision,characteristic,name,kind,upper\nP-1,A,7,Position of hole,position,0.25\n',
    )
    const receipt = await shop.bring(FILE)
    expect(receipt.verdict).toBe('taken')
    expect(receipt.notes.map(({ text }) => text).join(' ')).toContain('judged by limits of their own')
  })

  it('stay with remeasured values as the next replicate, and a duplicate leaves none behind', async () => {
    const at = (time: string, bonus: string) =>
      `part number,revision,serial,build,characteristic,kind,tolerance,bonus,value,measured at\nP-1,A,S1,B1,7,position,0.25,${bonus},0.2,${time}\n`
    await shop.bring(at('2026-11-01 08:00', '0'))
    const again = await shop.bring(at('2026-11-02 08:00', '0.15'), { doubts: { all: 'keep' } })
    expect(again.verdict).toBe('taken')
    expect((await values()).map(({ replicate, value, own }) => [replicate, value, own?.upper])).toEqual([
      [1, 0.8, 0.25],
      [2, 0.5, 0.4],
    ])
    const duplicate = await shop.bring(`${at('2026-11-02 08:00', '0.1')}\n`)
    expect(duplicate.verdict).toBe('refused')
    expect(await values()).toHaveLength(2)
  })

  it('name the value that a slip of the decimal point hides, as it was written', async () => {
    const rows = Array.from(
      { length: 40 },
      (_, i) => `P-1,A,S${i},B1,7,Position,position,0.25,${(i % 5) / 100},0.1${i % 7},mm`,
    )
    const receipt = await shop.bring(
      [HEADINGS, ...rows, 'P-1,A,S99,B1,7,Position,position,0.25,0.05,13.5,mm'].join('\n'),
    )
    expect(receipt.verdict).toBe('asking')
    expect(receipt.doubts).toEqual([expect.objectContaining({ kind: 'decimal-point', likely: '0.135' })])
  })

  it('beside a column that is not there are asked about, and can be given their place by hand', async () => {
    const named =
      'serial;build;Position of the bore;Position of the slot;Position of the slot bonus;Position of the bore limit MMC\n'
    const upper = 'upper limit;;0.1;0.1;;\n'
    const two = await shop.bring(`${named}${upper}S1;B2;0.1;0.2;0.3;0.5\n`, {
      partNumber: 'P-1',
      revision: 'A',
    })
    expect(two.refused).toEqual([])
    expect((await values('Position of the bore', 'B2')).map(({ own }) => own?.upper)).toEqual([0.5])
    expect((await values('Position of the slot', 'B2')).map(({ own }) => own?.upper)).toEqual([0.4])
    const file = 'serial;build;Position 7;Position 8 bonus;ratio\nS1;B1;0.1;0.3;1\nS2;B1;0.1;0.4;1\n'
    const choices = { partNumber: 'P-1', revision: 'B' }
    const asked = await shop.bring(file, choices)
    expect(asked.verdict).toBe('asking')
    expect(
      asked.reading?.questions.map(({ position, text }) => [
        position,
        text.includes('this limit belongs to'),
      ]),
    ).toEqual([[4, true]])
    const layout = { columns: { '3': 'values', '4': 'ownUpper', '5': 'none' } }
    const taken = await shop.bring(file.replace('Position 8 bonus', 'its limit'), { ...choices, layout })
    expect(taken.refused).toEqual([])
    expect(await shop.store.ownLimitsWithin(3, 'sintered', null)).toEqual({
      values: 2,
      least: 0.3,
      greatest: 0.4,
    })
  })

  it('are what the uncertainty of measuring is compared with on the receipt, in the unit measured in', async () => {
    await shop.bring(
      'part number,revision,characteristic,kind,upper,limit per part\nP-1,A,7,position,0.25,yes\n',
    )
    const gauges = await shop.bring(
      'gauge,kind,unit,resolution,expanded_uncertainty,coverage_factor,calibrated_on,part_number,revision,characteristics\nCMM-1,machine,mm,0.0001,0.02,2,2026-03-01,P-1,A,7\n',
    )
    expect(gauges.verdict).toBe('taken')
    const receipt = await shop.bring(
      [
        'part number,revision,serial,build,characteristic,own upper limit,value,gauge',
        'P-1,A,S1,B1,7,0.4,0.37,CMM-1',
        'P-1,A,S2,B1,7,0.4,0.39,CMM-1',
        'P-1,A,S3,B1,7,0.3,0.31,CMM-1',
        'P-1,A,S4,B1,7,0.3,0.33,CMM-1',
      ].join('\n'),
    )
    expect(receipt.verdict).toBe('taken')
    expect(receipt.outOfSpecification).toBe(2)
    expect(receipt.nearLimits?.map(({ serial, value, limit }) => [serial, value, limit])).toEqual([
      ['S2', 0.39, 0.4],
    ])
    expect(receipt.nonconforming?.map(({ serial, conformity }) => [serial, conformity?.decision])).toEqual([
      ['S3', 'inside the uncertainty'],
      ['S4', 'not conforming'],
    ])
  })
})
