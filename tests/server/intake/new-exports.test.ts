import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { CHARACTERISTICS, openShop, type Shop } from './shop.ts'

/** Exports that nobody has seen before, in the words that measuring rooms use (common practice). */

let shop: Shop

beforeEach(async () => {
  shop = await openShop()
  await shop.bring(CHARACTERISTICS)
})
afterEach(() => shop.close())

const BLOCK = (serial: string, value: string) =>
  `Teilenummer;HB-204\nZeichnungsstand;C\nAuftrag;A-77\nTeil Nr.;${serial}\nJob;B1\n\n` +
  `Merkmal;Sollwert;Obere Tol;Untere Tol;Istwert\n1;42,0;0,1;-0,1;${value}\n\n`

describe('blocks of one part each', () => {
  it('are read past a line that says nothing that is known, and the receipt says so', async () => {
    const receipt = await shop.bring(BLOCK('S1', '42,01') + BLOCK('S2', '42,02'))
    expect(receipt).toMatchObject({ verdict: 'taken', rowsRead: 2, rowsTaken: 2 })
    expect(receipt.reading?.shape).toBe('blocks')
    expect(receipt.notes.map(({ text }) => text)).toContain(
      'Lines that begin with "Auftrag" say nothing that is known, and were passed over.',
    )
  })

  it('lose no row of values that is short: only lines above a block are passed over', async () => {
    const receipt = await shop.bring(
      `${BLOCK('S1', '42,01').trimEnd()}\nBohrung;8,01\n\n${BLOCK('S2', '42,02')}`,
    )
    expect(receipt).toMatchObject({ verdict: 'refused', rowsTaken: 0, rowsRefused: 1 })
    expect(receipt.refused[0]?.line).toBe(9)
  })
})

describe('a column that could be two things', () => {
  const rows = 'S1,B1,1,42.01,OK\nS1,B1,2,8.01,OK\nS2,B1,1,42.02,NOK\n'
  const choices = { partNumber: 'HB-204' }

  it('"Teil" holds serial numbers where its texts differ and none is a part number', async () => {
    const receipt = await shop.bring(`Teil,Job,Merkmal,Istwert,Bemerkung\n${rows}`, choices)
    expect(receipt).toMatchObject({ verdict: 'taken', rowsTaken: 3 })
    expect(receipt.columns[0]).toEqual({ heading: 'Teil', meaning: 'serial number' })
    const numbers = await shop.bring(
      'Teil,Job,Merkmal,Istwert\nHB-204,B1,1,42.01\nLV-310,B1,1,42.02\n',
      choices,
    )
    expect(numbers.verdict).toBe('refused')
    expect(numbers.problem?.what).toMatch(/serial number/)
  })

  it('"Result" holds values where it holds numbers, and is passed over where it says OK', async () => {
    for (const headings of [
      'serial,job,characteristic,actual,result',
      'serial,job,characteristic,value,Ergebnis',
    ]) {
      const receipt = await shop.bring(`${headings}\n${rows.replaceAll('S', headings.slice(-3))}`, choices)
      expect(receipt).toMatchObject({ verdict: 'taken', rowsTaken: 3 })
    }
    const first = await shop.bring(
      'serial,job,characteristic,result,measured value\nT1,B1,1,OK,42.01\nT2,B1,1,OK,42.02\n',
      choices,
    )
    expect(first).toMatchObject({ verdict: 'taken', rowsTaken: 2 })
    // Two columns of numbers are still asked to be told apart.
    const two = await shop.bring('serial,job,characteristic,value,result\nU1,B1,1,42.01,42.02\n', choices)
    expect(two.problem?.what).toMatch(/More than one column means the same/)
  })
})

describe('a table that is not understood', () => {
  const likely = async (content: string) =>
    (await shop.bring(content)).reading?.columns.map((column) => column.likely ?? null)

  it('begins with what headings and cells suggest', async () => {
    expect(
      await likely(
        'who,xa,Charge,xb,xc\nx,HB-1,L1,1,42.01\nx,HB-1,L1,2,8.01\nx,HB-2,L1,1,42.02\nx,HB-2,L1,2,8.02\n',
      ),
    ).toEqual([null, 'serial', 'furnaceLoad', 'characteristic', 'value'])
    expect(await likely('xa,1,2,xb\nHB-1,42.01,8.01,ok\nHB-2,42.02,8.02,ok\n')).toEqual([
      'serial',
      'values',
      'values',
      null,
    ])
  })

  it('names neither of two columns that could be the same thing', async () => {
    expect(await likely('xa,xb,xc,xd\nS1,A1,1,42.01\nS1,A1,2,8.01\nS2,A2,1,42.02\n')).toEqual([
      null,
      null,
      'characteristic',
      'value',
    ])
  })

  it('does not take a counter of rows for characteristics, nor times for parts', async () => {
    expect(await likely('xa,xb,xc\n1,08:10,42.01\n2,08:11,42.02\n')).toEqual([null, null, null])
  })

  it('is the table of values, however many lines of labels stand above its blocks', async () => {
    const labels = Array.from({ length: 4 }, (_, i) => `q${i};w${i}\n`).join('')
    const receipt = await shop.bring(`${labels}xa;xb;xc\nS1;1;42,01\nS1;2;8,01\n`.repeat(2))
    expect(receipt.reading?.columns).toHaveLength(3)
  })

  it('offers to take an unknown column of numbers for the build where none is named', async () => {
    const receipt = await shop.bring('serial,Lot,1,2\nS1,460,42.01,8.01\nS2,460,42.02,8.02\n', {
      partNumber: 'HB-204',
    })
    const asked = receipt.reading?.questions.find(({ about }) => about === 'column')
    expect(asked?.options.map(({ choice }) => choice)).toEqual(['none', 'build', 'values'])
  })
})
