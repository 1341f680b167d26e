import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { withdraw } from '../../../server/intake/withdraw.ts'
import { momentsOf } from '../../../src/description/moments.ts'
import { CHARACTERISTICS, openShop, type Shop } from './shop.ts'

let shop: Shop

beforeEach(async () => {
  shop = await openShop()
  await shop.bring(CHARACTERISTICS)
})
afterEach(() => shop.close())

const HEAD = 'part_number,revision,serial,build,furnace_load,stage,characteristic,value,gauge,replicate\n'
const row = (serial: string, stage: string, value: number, gauge = 'CMM-1', replicate = '', load = 'L1') =>
  `HB-204,C,${serial},B1,${load},${stage},1,${value},${gauge},${replicate}\n`

const GOOD = `${HEAD}${row('S1', 'sintered', 42.01)}${row('S2', 'sintered', 42.03)}`
const WRONG = `${HEAD}${row('S2', 'sintered', 42.09, 'CMM-2', '2')}${row('S3', 'sintered', 42.05)}${row('S1', 'green', 49.5)}`

describe('an import that is withdrawn', () => {
  it('leaves cells, counts, gauges and furnace loads as they are without it', async () => {
    await shop.bring(GOOD, {}, 'good.csv')
    const cells = async () => [
      await shop.store.cells(1, 'sintered'),
      await shop.store.cells(1, 'green'),
      await shop.store.builds(1, 'sintered'),
      (await shop.store.loadsOf(1, 'sintered')).map((load) => load.name),
      await shop.store.partsByBuild(1, 'sintered'),
      await shop.store.partsByBuild(1, 'green'),
      await shop.store.values(1, 1, 'sintered'),
    ]
    const before = await cells()
    const otherLoad = row('S4', 'sintered', 42.02, 'CMM-1', '', 'L2')
    const { importId } = await shop.bring(WRONG + otherLoad, {}, 'wrong.csv')
    expect(await cells()).not.toEqual(before)
    const receipt = await withdraw(shop.store, importId as number, 'M. Doe', 'the wrong fixture')
    expect(receipt.withdrawn).toMatchObject({ who: 'M. Doe', reason: 'the wrong fixture' })
    expect(await cells()).toEqual(before)
  })

  it('stays on record with its reason and what it had taken, and its bytes may come again', async () => {
    await shop.bring(GOOD)
    const first = await shop.bring(WRONG)
    await withdraw(shop.store, first.importId as number, 'M. Doe', 'the wrong fixture')
    expect((await shop.store.receipt(first.importId as number))?.withdrawn?.reason).toBe('the wrong fixture')
    const [summary] = await shop.store.imports(10)
    expect(summary).toMatchObject({ importId: first.importId, sha256: first.sha256 })
    expect(summary?.withdrawn).toMatchObject({ who: 'M. Doe', reason: 'the wrong fixture' })
    const everything = JSON.parse(shop.everything()) as [string, { value: number; line: number }[]][]
    const apart = everything.find(([table]) => table === 'withdrawn_measurement')?.[1]
    expect(apart?.map(({ line, value }) => [line, value])).toEqual([
      [2, 42.09],
      [3, 42.05],
      [4, 49.5],
    ])
    const again = await shop.bring(WRONG)
    expect(again).toMatchObject({ verdict: 'taken', rowsTaken: 3, sha256: first.sha256 })
    const [cell] = await shop.store.cellsOf(1, 'sintered')
    expect(cell?.n).toBe(4)
    expect(cell?.mean).toBeCloseTo(momentsOf([42.01, 42.03, 42.09, 42.05]).mean, 12)
  })

  it('lets its parts be brought in another build', async () => {
    const { importId } = await shop.bring(GOOD)
    await withdraw(shop.store, importId as number, 'M. Doe', 'the wrong build')
    const receipt = await shop.bring(GOOD.replaceAll('B1', 'B2'))
    expect(receipt.verdict).toBe('taken')
  })

  it('cannot be withdrawn again, nor one of anything but measurements', async () => {
    const { importId } = await shop.bring(GOOD)
    await withdraw(shop.store, importId as number, 'M. Doe', 'reason')
    await expect(withdraw(shop.store, importId as number, 'M. Doe', 'reason')).rejects.toThrow(
      /no measurements/,
    )
    await expect(withdraw(shop.store, 1, 'M. Doe', 'reason')).rejects.toThrow(/no measurements/)
    await expect(withdraw(shop.store, 99, 'M. Doe', 'reason')).rejects.toThrow(/no measurements/)
  })
})
