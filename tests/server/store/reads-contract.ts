import { beforeEach, describe, expect, it } from 'vitest'
import type { Store } from '../../../server/store/store.ts'
import { momentsOf } from '../../../src/description/moments.ts'
import { fill, importRow, part, receipt } from './furnished.ts'

/**
 * What every store must give back of what was put in.
 *
 * @param opened the store, on an empty database
 */
export function readsContract(opened: () => Store): void {
  describe('reading', () => {
    let store: Store
    beforeEach(() => {
      store = opened()
    })

    it('is empty at first', async () => {
      expect(await store.partNumbers()).toEqual([])
      expect(await store.partNumber('P-1', 'A')).toBeNull()
      expect(await store.characteristics(1)).toEqual([])
      expect(await store.builds(1, 'sintered')).toEqual([])
      expect(await store.cells(1, 'sintered')).toEqual([])
      expect(await store.values(1, 1, 'sintered')).toEqual([])
      expect(await store.partsByBuild(1, 'sintered')).toEqual(new Map())
      expect(await store.imports(10)).toEqual([])
      expect(await store.receipt(1)).toBeNull()
      expect(await store.importByHash('0'.repeat(64))).toBeNull()
    })

    it('sums part numbers up', async () => {
      await fill(store)
      expect(await store.partNumbers()).toEqual([
        {
          id: 1,
          number: 'P-1',
          revision: 'A',
          name: 'bracket',
          characteristics: 3,
          builds: 4,
          measurements: 6,
          // Last in the order of the timeline: without a time of printing.
          lastBuild: 'B1',
          stages: ['sintered'],
        },
      ])
      expect(await store.partNumber('P-1', 'A')).toEqual({
        id: 1,
        number: 'P-1',
        revision: 'A',
        name: 'bracket',
      })
      expect(await store.partNumber('P-1', 'B')).toBeNull()
    })

    it('orders characteristics as people count', async () => {
      await fill(store)
      const all = await store.characteristics(1)
      expect(all.map((c) => c.designator)).toEqual(['1', '2', '10'])
      expect(all[2]).toEqual({
        id: 1,
        designator: '10',
        name: 'Characteristic 10',
        kind: 'length',
        nominal: 10,
        lower: 9.9,
        upper: null,
        unit: 'mm',
        axis: 'X',
      })
    })

    it('orders builds by printing, then name, undated last, with what their parts went through', async () => {
      await fill(store)
      const builds = await store.builds(1, 'sintered')
      expect(builds.map((b) => b.name)).toEqual(['B2', 'B9', 'B10', 'B1'])
      expect(builds[2]).toEqual({
        id: 1,
        name: 'B10',
        printedAt: 500,
        printer: 'PR-1',
        buildBox: null,
        powderLot: 'K5',
        powderReuse: 0,
        scale: { x: 1.18, y: null, z: 1.2 },
        conditions: { humidity: '41 %' },
        furnaces: ['F2'],
        gauges: ['CMM-1'],
      })
      expect(builds[0]).toMatchObject({ furnaces: [], gauges: [] })
      expect(await store.builds(1, 'green')).toEqual([])
    })

    it('gives cells with exact moments', async () => {
      await fill(store)
      const cells = await store.cellsOf(1, 'sintered')
      expect(cells).toHaveLength(4)
      expect(cells.find((c) => c.buildId === 1)).toEqual({
        characteristicId: 1,
        buildId: 1,
        furnaceLoadId: 1,
        stage: 'sintered',
        ...momentsOf([10.1, 10.3, 10.2]),
      })
      expect(await store.cells(1, 'sintered')).toHaveLength(4)
      expect(await store.cells(2, 'sintered')).toEqual([])
      expect(await store.cellsOf(1, 'finished')).toEqual([])
      expect(await store.partsByBuild(1, 'sintered')).toEqual(
        new Map([
          [1, 2],
          [2, 1],
          [3, 1],
          [4, 1],
        ]),
      )
    })

    it('gives values in the order of serial numbers, each with its origin', async () => {
      await fill(store)
      const values = await store.values(1, 1, 'sintered')
      expect(values.map((v) => [v.serial, v.replicate, v.value, v.line])).toEqual([
        ['S9', 1, 10.3, 3],
        ['S9', 2, 10.2, 4],
        ['S10', 1, 10.1, 2],
      ])
      expect(values[2]).toEqual({
        serial: 'S10',
        value: 10.1,
        replicate: 1,
        tray: null,
        trayPlace: null,
        bed: { x: 1.5, y: null, z: null },
        furnaceLoad: 'L1',
        gauge: null,
        inspector: null,
        measuredAt: null,
        importId: 1,
        fileName: 'file 1.csv',
        line: 2,
      })
      expect(values[0]).toMatchObject({ gauge: 'CMM-1', measuredAt: 1_790_000_001 })
    })

    it('tells which gauges measured a characteristic in some builds', async () => {
      await fill(store)
      expect(await store.gaugesByCharacteristic(1, 'sintered', [1, 2])).toEqual([
        { characteristicId: 1, gauge: 'CMM-1' },
      ])
      expect(await store.gaugesByCharacteristic(1, 'green', [1])).toEqual([])
      expect(await store.gaugesByCharacteristic(1, 'sintered', [])).toEqual([])
    })

    it('gives everything that is known of a part, and says which of its values count', async () => {
      await fill(store)
      const part = await store.part(1, 'S9')
      expect(part).toMatchObject({
        serial: 'S9',
        build: { name: 'B10', powderLot: 'K5', scale: { x: 1.18, y: null, z: 1.2 } },
        load: { name: 'L1' },
      })
      if (part === null) throw new Error('there is no part S9')
      const measured = async () =>
        (await store.measurementsOfParts(1, part.build.id, [part.id])).map(({ replicate, value, counts }) => [
          replicate,
          value,
          counts,
        ])
      expect(await measured()).toEqual([
        [1, 10.3, true],
        [2, 10.2, true],
      ])
      const [first] = await store.measurementsOfParts(1, part.build.id, [part.id])
      expect(first).toMatchObject({
        characteristicId: 1,
        stage: 'sintered',
        gauge: 'CMM-1',
        importId: 1,
        fileName: 'file 1.csv',
        line: 3,
        cell: { n: 3 },
      })
      expect(first?.cell.mean).toBeCloseTo(10.2, 12)
      await store.write((writer) =>
        writer.leaveOut(
          { characteristicId: 1, stage: 'sintered', buildId: 1, single: { serial: 'S9', replicate: 2 } },
          { reason: 'dropped', who: 'M. Doe', at: 1 },
        ),
      )
      expect(await measured()).toEqual([
        [1, 10.3, true],
        [2, 10.2, false],
      ])
      const inBuild = await store.measurementsOfParts(1, part.build.id, [1, 2])
      expect(inBuild.map(({ serial, value }) => [serial, value])).toEqual([
        ['S10', 10.1],
        ['S9', 10.3],
        ['S9', 10.2],
      ])
      expect(await store.measurementsOfParts(2, part.build.id, [1, 2])).toEqual([])
      expect(await store.partsOfBuild(1, 'B10')).toMatchObject({
        build: { id: 1 },
        parts: [
          { serial: 'S9', load: 'L1' },
          { serial: 'S10', load: 'L1' },
        ],
      })
      expect(await store.partsOfBuild(1, 'B99')).toBeNull()
      expect(await store.part(1, 'S99')).toBeNull()
      expect(await store.part(2, 'S9')).toBeNull()
    })

    it('finds parts by a piece of their serial numbers, taken as it is written', async () => {
      await fill(store)
      const found = async (text: string, most = 50) =>
        (await store.partsNamed(text, most)).map(({ serial }) => serial)
      expect(await found('s1')).toEqual(['S1', 'S10'])
      expect(await store.partsNamed('S10', 50)).toEqual([
        { serial: 'S10', number: 'P-1', revision: 'A', build: 'B10' },
      ])
      expect(await found('S', 2)).toHaveLength(2)
      for (const text of ['%', '_', '\\', "'"]) expect(await found(text)).toEqual([])
      // Among a hundred thousand others, which are looked at some at a time: the last ones are found first.
      await store.write((writer) =>
        writer.insertParts([part(123_456, 'T77', 2, null), part(60_000, 'S177', 1, 1)]),
      )
      expect(await found('77')).toEqual(['S177', 'T77'])
      expect(await found('77', 1)).toEqual(['T77'])
      expect(await found('s1', 1)).toEqual(['S177'])
      expect(await found('s1')).toEqual(['S1', 'S10', 'S177'])
    })

    it('says which gauges measured what, part by part where they are several', async () => {
      await fill(store)
      const several = await store.gaugesOfValues(1, 'sintered', new Set([1, 2]))
      expect(several.gauges).toEqual(['CMM-1', null])
      expect([...(several.byPart ?? [])].sort(([a], [b]) => a - b)).toEqual([
        [1, [{ value: 10.1, gauge: null }]],
        [
          2,
          [
            { value: 10.3, gauge: 'CMM-1' },
            { value: 10.2, gauge: null },
          ],
        ],
        [3, [{ value: 9.8, gauge: 'CMM-1' }]],
      ])
      expect(await store.gaugesOfValues(1, 'sintered', new Set([2]))).toEqual({
        gauges: ['CMM-1'],
        byPart: null,
      })
      expect(await store.gaugesOfValues(1, 'sintered', new Set([3]))).toEqual({
        gauges: [null],
        byPart: null,
      })
      for (const [id, stage, builds] of [
        [1, 'green', [1, 2]],
        [2, 'sintered', [1, 2]],
        [1, 'sintered', []],
      ] as const) {
        expect(await store.gaugesOfValues(id, stage, new Set(builds))).toEqual({ gauges: [], byPart: null })
      }
      // More builds than one statement takes.
      const many = new Set(Array.from({ length: 1200 }, (_, i) => 1201 - i))
      expect((await store.gaugesOfValues(1, 'sintered', many)).gauges).toEqual(['CMM-1', null])
    })

    it('keeps receipts and finds imports by hash', async () => {
      await store.write(async (writer) => {
        for (const id of [1, 2, 3]) await writer.beginImport(importRow(id))
      })
      expect(await store.receipt(2)).toEqual(receipt(2))
      expect((await store.imports(2)).map((i) => i.importId)).toEqual([3, 2])
      expect(await store.importByHash(receipt(2).sha256)).toMatchObject({
        importId: 2,
        fileName: 'file 2.csv',
        rowsTaken: 3,
      })
    })
  })
}
