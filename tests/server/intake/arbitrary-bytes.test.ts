import fc from 'fast-check'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { CHARACTERISTICS, openShop, type Shop } from './shop.ts'

let shop: Shop

beforeAll(async () => {
  shop = await openShop()
  await shop.bring(CHARACTERISTICS)
  // Something that is surely there, whatever chance brings.
  await shop.bring('serial,build,characteristic,value\nS1,B1,1,42.01\nS2,B1,1,42.02\n', {
    partNumber: 'HB-204',
    revision: 'C',
  })
})
afterAll(() => shop.close())

const VERDICTS = ['taken', 'taken-in-part', 'refused', 'known']

/** Bytes that resemble a table, so that chance gets beyond the headings. */
const tableLike = fc
  .array(
    fc.array(
      fc.oneof(
        fc.constantFrom(
          'HB-204',
          'C',
          'S1',
          'S2',
          'B1',
          'B2',
          '1',
          '2',
          '10',
          '42.01',
          '8,5',
          '',
          ' ',
          'in',
          'green',
          'NaN',
          '2026-03-02',
          '__proto__',
          'constructor',
        ),
        fc.string({ unit: 'binary', maxLength: 5 }),
      ),
      { minLength: 5, maxLength: 9 },
    ),
    { maxLength: 12 },
  )
  .map((rows) => rows.map((row) => row.join(',')).join('\n'))

const headings = fc.constantFrom(
  'part_number,revision,serial,build,characteristic,value,unit',
  'serial,characteristic,value,build,stage,measured_at,replicate',
  'part_number,revision,designator,nominal,tolerance,lower,upper',
  'build,printed_at,powder_lot,scale_x,__proto__',
  'furnace_load,sintered_at,furnace,constructor',
)

describe('whatever bytes come', () => {
  it('a receipt says what became of them', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.oneof(
          fc.uint8Array({ maxLength: 300 }).map((bytes) => Buffer.from(bytes)),
          fc.tuple(headings, tableLike).map(([head, body]) => Buffer.from(`${head}\n${body}\n`)),
          fc
            .tuple(headings, tableLike)
            .map(([head, body]) => Buffer.from(`\ufeff${head}\n${body}`, 'utf16le')),
          fc
            .tuple(headings, fc.uint8Array({ maxLength: 200 }))
            .map(([head, body]) => Buffer.concat([Buffer.from(`${head}\n`), body])),
        ),
        fc.boolean(),
        async (bytes, takeGoodRows) => {
          const receipt = await shop.bring(bytes, { takeGoodRows, partNumber: 'HB-204' })
          expect(VERDICTS).toContain(receipt.verdict)
          if (receipt.verdict === 'refused') {
            expect(receipt.problem !== null || receipt.refused.length > 0).toBe(true)
            expect(receipt.importId).toBeNull()
          }
          if (receipt.verdict !== 'known') {
            expect(
              receipt.rowsTaken === 0 || receipt.rowsTaken + receipt.rowsRefused === receipt.rowsRead,
            ).toBe(true)
          }
        },
      ),
      { numRuns: 200 },
    )
  })

  it('cells still sum up exactly the values that are there', async () => {
    for (const { id } of await shop.store.partNumbers()) {
      for (const characteristic of await shop.store.characteristics(id)) {
        for (const stage of ['green', 'sintered', 'finished'] as const) {
          const cells = await shop.store.cellsOf(characteristic.id, stage)
          for (const buildId of new Set(cells.map((cell) => cell.buildId))) {
            const values = await shop.store.values(characteristic.id, buildId, stage)
            const n = cells.filter((cell) => cell.buildId === buildId).reduce((sum, cell) => sum + cell.n, 0)
            expect(values).toHaveLength(n)
          }
        }
      }
    }
  })
})
