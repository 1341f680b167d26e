import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { openShop, type Shop } from './shop.ts'

/** Files longer than what is gathered before it is written: 65 536 rows, and 30 000 parts held in memory. */
let shop: Shop
beforeEach(async () => {
  shop = await openShop()
})
afterEach(() => shop.close())

describe('long files', () => {
  it('have the cells that all their values together have, loads learnt on the way included', async () => {
    // 1000 parts, 200 values each in turn, so that every batch meets every part; the load comes in the last round.
    const rounds = 200
    const rows: string[] = ['part_number,serial,build,furnace_load,characteristic,value,replicate,gauge']
    for (let round = 1; round <= rounds; round++) {
      for (let part = 0; part < 1000; part++) {
        const loadText = round === rounds && part >= 500 ? 'L1' : ''
        rows.push(
          `P,S${part},B1,${loadText},1,${part % 2 === 0 ? 10 + round / 1000 : 10 - round / 1000},${round},G${part % 3}`,
        )
      }
    }
    const receipt = await shop.bring(rows.join('\n'))
    expect(receipt).toMatchObject({ verdict: 'taken', rowsTaken: 200_000 })
    const cells = await shop.store.cellsOf(1, 'sintered')
    expect(cells.map((cell) => [cell.furnaceLoadId, cell.n]).sort()).toEqual([
      [null, 100_000],
      [1, 100_000],
    ])
    // Symmetric about 10; the squared deviations of each half sum to 500 · Σ (round/1000)² = 500 · 2 686 700 / 10⁶.
    for (const cell of cells) {
      expect(cell.mean).toBeCloseTo(10, 12)
      expect(cell.m2).toBeCloseTo(500 * 2.6867, 8)
      expect(cell).toMatchObject({ min: 9.8, max: 10.2 })
    }
    expect(await shop.store.partsByBuild(1, 'sintered')).toEqual(new Map([[1, 1000]]))
    expect((await shop.store.builds(1, 'sintered'))[0]?.gauges).toEqual(['G0', 'G1', 'G2'])
  })

  it('are refused for a value twice, however far apart, and for a part told differently', async () => {
    const rows: string[] = ['part_number,serial,build,characteristic,value']
    for (let i = 0; i < 140_000; i++) rows.push(`P,S${i % 20_000},B1,${Math.floor(i / 20_000)},5`)
    rows.push('P,S7,B1,0,6', 'P,S8,B2,9,6')
    const receipt = await shop.bring(rows.join('\n'))
    expect(receipt).toMatchObject({ verdict: 'refused', rowsRefused: 2 })
    expect(receipt.refused[0]).toMatchObject({ line: 140_002, column: 'value' })
    expect(receipt.refused[0]?.reason).toMatch(/on line 9\./)
    expect(receipt.refused[1]).toMatchObject({ line: 140_003, column: 'build' })
    expect(await shop.store.partNumbers()).toEqual([])
  })

  it.each([
    ['here', false],
    ['on a thread of its own', true],
  ])('find parts again that came before and were changed, written %s', async (_, aside) => {
    const shop = await openShop({ aside })
    try {
      const head = 'part_number,serial,build,furnace_load,tray,characteristic,value'
      await shop.bring([head, 'P,E0,B1,,,1,5', 'P,E0,B1,,,2,5', 'P,E1,B1,,,1,5'].join('\n'))
      // The first row changes a part on record, which is let go of before the last rows speak of it again.
      const rows = [head, 'P,E0,,L1,,2,6']
      for (let i = 0; i < 70_000; i++) rows.push(`P,S${i},B1,,,1,5`)
      const good = [...rows, 'P,E0,,L1,T2,1,6', 'P,E1,,,,2,9', 'P,S0,,,T3,2,7']
      const bad = [...good, 'P,E0,,L2,,1,6', 'P,S0,B2,,,1,6', 'P,E0,,,T3,1,6']
      const repeats = (rows: string[]) => rows.map((row, i) => `${row},${i === 0 ? 'replicate' : 2}`)
      const refused = await shop.bring(repeats(bad).join('\n'))
      expect(refused.refused.map(({ line, column }) => [line, column])).toEqual([
        [70_006, 'furnace_load'],
        [70_007, 'build'],
        [70_008, 'tray'],
      ])
      const taken = await shop.bring(repeats(good).join('\n'))
      expect(taken).toMatchObject({ verdict: 'taken', rowsTaken: 70_004 })
      const found = await shop.store.partsBySerial(1, ['S0', 'E0', 'none', 'E1'])
      expect(found.map((part) => [part.serial, part.furnace_load_id, part.tray]).sort()).toEqual([
        ['E0', 1, 'T2'],
        ['E1', null, null],
        ['S0', null, 'T3'],
      ])
      expect((await shop.store.cells(1, 'sintered')).reduce((sum, { n }) => sum + n, 0)).toBe(70_007)
    } finally {
      await shop.close()
    }
  })

  it('find parts and cells again that were let go of in the meantime', async () => {
    const rows: string[] = ['part_number,serial,build,characteristic,value']
    for (let i = 0; i < 290_000; i++) rows.push(`P,S${i},B${Math.floor(i / 10_000)},1,5`)
    rows.push('P,S0,,2,6', 'P,S1,B0,2,7', 'P,NEW,B0,1,6')
    const receipt = await shop.bring(rows.join('\n'))
    expect(receipt).toMatchObject({ verdict: 'taken', rowsTaken: 290_003 })
    const parts = await shop.store.partsByBuild(1, 'sintered')
    expect([...parts.values()].sort((a, b) => b - a)).toEqual([10_001, ...Array(28).fill(10_000)])
    expect((await shop.store.values(2, 1, 'sintered')).map((v) => v.serial)).toEqual(['S0', 'S1'])
    const cells = await shop.store.cellsOf(1, 'sintered')
    expect(cells).toHaveLength(29)
    expect(cells.find(({ buildId }) => buildId === 1)).toMatchObject({ n: 10_001, min: 5, max: 6 })
  })

  it('stop being read after a hundred thousand refused rows', async () => {
    const rows = ['part_number,serial,build,characteristic,value']
    for (let i = 0; i < 150_000; i++) rows.push(`P,S${i},B1,1,x`)
    const receipt = await shop.bring(rows.join('\n'), { takeGoodRows: true })
    expect(receipt.verdict).toBe('refused')
    expect(receipt.problem?.what).toMatch(
      /100,000 rows cannot be taken in, so reading was stopped on line 100001/,
    )
    expect(receipt.refused).toHaveLength(100_000)
    expect(await shop.store.partNumbers()).toEqual([])
  })
})
