import { beforeEach, describe, expect, it } from 'vitest'
import type { Store } from '../../../server/store/store.ts'
import { momentsOf } from '../../../src/description/moments.ts'
import { columns, fill, furnish, importRow, inOrder, part } from './furnished.ts'

/**
 * What every store must do when it is written to.
 *
 * @param opened the store, on an empty database
 */
export function writesContract(opened: () => Store): void {
  describe('writing', () => {
    let store: Store
    beforeEach(() => {
      store = opened()
    })

    it('leaves out measurements that are there already, and says where the first stands', async () => {
      await fill(store)
      const duplicates = await store.write(async (writer) => {
        await writer.beginImport(importRow(2))
        // More rows than go into one statement, with doubles of the store's and of the file's own among them.
        const rows: [number, number, number, number, number][] = Array.from({ length: 40 }, (_, i) => [
          1,
          1,
          i + 2,
          10,
          i + 2,
        ])
        rows[5] = [1, 2, 2, 11, 7]
        rows[30] = [1, 1, 2, 12, 32]
        return await writer.insertMeasurements(2, columns(rows), inOrder(rows.length))
      })
      expect(duplicates).toEqual([
        { index: 5, firstImportId: 1, firstLine: 4 },
        { index: 30, firstImportId: 2, firstLine: 2 },
      ])
      expect((await store.values(1, 1, 'sintered')).filter((v) => v.importId === 2)).toHaveLength(38)
    })

    it('moves measurements between cells and computes both anew', async () => {
      await fill(store)
      await store.write(async (writer) => {
        await writer.insertCells([
          { id: 5, characteristic_id: 1, build_id: 1, furnace_load_id: 2, stage: 'sintered' },
          { id: 6, characteristic_id: 2, build_id: 1, furnace_load_id: 2, stage: 'sintered' },
        ])
        expect(await writer.moveMeasurements(1, 5, new Set([2, 99]))).toBe(2)
        expect(await writer.moveMeasurements(2, 5, new Set([99]))).toBe(0)
        await writer.recomputeCells([1, 5, 6])
      })
      const cells = await store.cellsOf(1, 'sintered')
      expect(cells.find((c) => c.buildId === 1 && c.furnaceLoadId === 1)).toMatchObject(momentsOf([10.1]))
      expect(cells.find((c) => c.furnaceLoadId === 2 && c.buildId === 1)).toMatchObject(
        momentsOf([10.3, 10.2]),
      )
      // A cell without values does not stay.
      expect(await store.cellsOf(2, 'sintered')).toEqual([])
    })

    it('merges moments into what a cell holds', async () => {
      await fill(store)
      await store.write((writer) => writer.mergeCells(new Map([[1, momentsOf([10.6, 9.4])]])))
      const cell = (await store.cellsOf(1, 'sintered')).find((c) => c.buildId === 1)
      const all = momentsOf([10.1, 10.3, 10.2, 10.6, 9.4])
      expect(cell).toMatchObject({ n: 5, min: 9.4, max: 10.6 })
      expect(cell?.mean).toBeCloseTo(all.mean, 12)
      expect(cell?.m2).toBeCloseTo(all.m2, 12)
    })

    it('allows one cell to a place, also where no furnace load is known', async () => {
      await fill(store)
      for (const loadId of [null, 1]) {
        const cell = {
          id: 9,
          characteristic_id: 1,
          build_id: loadId === null ? 2 : 1,
          furnace_load_id: loadId,
          stage: 'sintered' as const,
        }
        await expect(store.write((writer) => writer.insertCells([cell]))).rejects.toThrow()
      }
      expect(await store.cellsOf(1, 'sintered')).toHaveLength(4)
    })

    it('refuses references to what is not there', async () => {
      await fill(store)
      await expect(store.write((writer) => writer.insertParts([part(20, 'S20', 99, null)]))).rejects.toThrow()
      await expect(
        store.write((writer) => writer.insertMeasurements(1, columns([[77, 1, 1, 10, 9]]), inOrder(1))),
      ).rejects.toThrow()
    })

    it('knows its catalogue, parts by serial number, and the next free identities', async () => {
      await fill(store)
      await store.write(async (writer) => {
        const catalogue = await writer.catalogue()
        expect(catalogue.builds).toHaveLength(4)
        expect(catalogue.next).toMatchObject({
          part_number: 2,
          characteristic: 4,
          build: 5,
          part: 6,
          cell: 5,
          import: 2,
          inspector: 1,
        })
        const serials = ['S1', 'S10', 'not there', ...Array.from({ length: 1200 }, (_, i) => `X${i}`)]
        const found = await writer.partsBySerial(1, serials)
        expect(found.map((p) => p.id).sort()).toEqual([1, 3])
        expect(await writer.partsBySerial(2, serials)).toEqual([])
        expect((await writer.cellsOfBuilds([1, 2])).map((c) => c.id).sort()).toEqual([1, 2])
        expect(await writer.hasMeasurements(1)).toBe(true)
        expect(await writer.hasMeasurements(2)).toBe(false)
        expect(await writer.importName(1)).toBe('file 1.csv')
        expect(await writer.importName(7)).toBeNull()
      })
    })

    it('takes a transaction back as a whole when its work fails', async () => {
      await expect(
        store.write(async (writer) => {
          await furnish(writer)
          throw new Error('changed my mind')
        }),
      ).rejects.toThrow('changed my mind')
      expect(await store.partNumbers()).toEqual([])
      expect(await store.imports(10)).toEqual([])
    })

    it('tells listeners of every commit until they stop', async () => {
      let heard = 0
      let told: () => void = () => undefined
      const stop = store.onChange(() => {
        heard++
        told()
      })
      for (const id of [1, 2]) {
        const next = new Promise<void>((resolve) => {
          told = resolve
        })
        await store.write((writer) => writer.put('gauge', [{ id, name: `CMM-${id}` }]))
        await next
      }
      stop()
      const before = heard
      await store.write((writer) => writer.put('gauge', [{ id: 3, name: 'CMM-3' }]))
      expect(heard).toBe(before)
    })

    it('has another version after every commit, and the same until then', async () => {
      const empty = await store.version()
      expect(await store.version()).toBe(empty)
      await store.write(furnish)
      const furnished = await store.version()
      expect(furnished).not.toBe(empty)
      await expect(store.write(() => Promise.reject(new Error('changed my mind')))).rejects.toThrow()
      expect(await store.version()).toBe(furnished)
    })

    it('knows tokens by their hash until they are revoked, and never gives a name again', async () => {
      const [first, second] = ['a'.repeat(64), 'b'.repeat(64)]
      expect(
        await store.write((writer) => writer.addToken('scales', first, ['bring files', 'read'], 100)),
      ).toBe(true)
      expect(await store.write((writer) => writer.addToken('CMM', second, ['read metrics'], 200))).toBe(true)
      expect(await store.write((writer) => writer.addToken('scales', 'c'.repeat(64), ['read'], 300))).toBe(
        false,
      )
      expect(await store.token(first)).toEqual({ name: 'scales', scopes: ['bring files', 'read'] })
      expect(await store.token('c'.repeat(64))).toBe(null)
      expect(await store.write((writer) => writer.revokeToken('scales', 400))).toBe(true)
      expect(await store.write((writer) => writer.revokeToken('scales', 500))).toBe(false)
      expect(await store.token(first)).toBe(null)
      expect(await store.tokens()).toEqual([
        { name: 'scales', scopes: ['bring files', 'read'], createdAt: 100, revokedAt: 400 },
        { name: 'CMM', scopes: ['read metrics'], createdAt: 200, revokedAt: null },
      ])
      expect(await store.write((writer) => writer.addToken('scales', first, ['read'], 600))).toBe(false)
    })

    it('lets writers wait for one another', async () => {
      const seen: string[] = []
      const work = (name: string) =>
        store.write(async (writer) => {
          seen.push(`${name} begins`)
          await writer.catalogue()
          seen.push(`${name} ends`)
        })
      await Promise.all([work('one'), work('two')])
      expect(seen).toEqual(['one begins', 'one ends', 'two begins', 'two ends'])
    })
  })
}
