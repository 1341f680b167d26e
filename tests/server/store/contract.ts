import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import type { Receipt } from '../../../server/contract/receipt.ts'
import type { MeasurementColumns } from '../../../server/store/engine.ts'
import type {
  BuildTable,
  CharacteristicTable,
  FurnaceLoadTable,
  PartTable,
} from '../../../server/store/schema.ts'
import type { Store } from '../../../server/store/store.ts'
import type { Writer } from '../../../server/store/writer.ts'
import { bucketCounts, quantileBounds } from '../../../src/description/bucket-counts.ts'
import { momentsOf } from '../../../src/description/moments.ts'
import { quantiles } from '../../../src/description/quantiles.ts'
import { unrecorded } from '../../tools/unrecorded.ts'
import { cellsContract } from './cells-contract.ts'
import { decisionsContract } from './decisions-contract.ts'
import { eventNoticesContract } from './event-notices-contract.ts'
import { factorsContract } from './factors-contract.ts'
import { gaugesContract } from './gauges-contract.ts'
import { ownLimitsContract } from './own-limits-contract.ts'
import { peopleContract } from './people-contract.ts'
import { recordContract } from './record-contract.ts'

/** A store on an empty database, and how to be rid of both. */
export interface OpenedStore {
  readonly store: Store
  remove(): Promise<void>
}

const build = (id: number, name: string, printedAt: number | null): BuildTable => ({
  id,
  name,
  printed_at: printedAt,
  printer: 'PR-1',
  build_box: null,
  powder_lot: 'K5',
  powder_reuse: 0,
  scale_x: 1.18,
  scale_y: null,
  scale_z: 1.2,
  conditions: JSON.stringify({ humidity: '41 %' }),
})

const load = (id: number, name: string, furnace: string | null): FurnaceLoadTable => ({
  id,
  name,
  sintered_at: null,
  furnace,
  profile: null,
  atmosphere: null,
  conditions: '{}',
})

const characteristic = (id: number, designator: string): CharacteristicTable => ({
  id,
  part_number_id: 1,
  designator,
  name: `Characteristic ${designator}`,
  kind: 'length',
  nominal: 10,
  lower: 9.9,
  upper: null,
  unit: 'mm',
  axis: 'X',
  own_limits: null,
})

const part = (id: number, serial: string, buildId: number, loadId: number | null): PartTable => ({
  id,
  part_number_id: 1,
  serial,
  build_id: buildId,
  bed_x: 1.5,
  bed_y: null,
  bed_z: null,
  furnace_load_id: loadId,
  tray: null,
  tray_place: null,
  stages: 2,
})

const receipt = (id: number, verdict: Receipt['verdict'] = 'taken'): Receipt => ({
  importId: id,
  verdict,
  fileName: `file ${id}.csv`,
  sha256: String(id).repeat(64).slice(0, 64),
  bytes: 100,
  kind: 'measurements',
  dialect: 'UTF-8, comma, decimal point',
  columns: [],
  rowsRead: 3,
  rowsTaken: 3,
  rowsRefused: 0,
  refused: [],
  notes: [{ text: 'a note' }],
  problem: null,
  remedies: [],
  partNumbers: [{ number: 'P-1', revision: 'A' }],
  outOfSpecification: 1,
  who: 'M. Doe',
  at: 1_790_000_000,
  earlierImportId: null,
})

function importRow(id: number) {
  const r = receipt(id)
  return {
    id,
    sha256: r.sha256,
    file_name: r.fileName,
    bytes: r.bytes,
    kind: 'measurements' as const,
    verdict: r.verdict,
    who: r.who,
    at: r.at,
    rows_read: 3,
    rows_taken: 3,
    rows_refused: 0,
    out_of_specification: 1,
    receipt: JSON.stringify(r),
  }
}

/** Columns of measurements from rows of cell, part, replicate, value, line. */
export function columns(
  rows: readonly (readonly [number, number, number, number, number])[],
): MeasurementColumns {
  const pick = (k: 0 | 1 | 2 | 4) => Int32Array.from(rows, (row) => row[k])
  return {
    cell: pick(0),
    part: pick(1),
    replicate: pick(2),
    value: Float64Array.from(rows, (row) => row[3]),
    gauge: Int32Array.from(rows, (_, i) => i % 2),
    inspector: new Int32Array(rows.length),
    measuredAt: Float64Array.from(rows, (_, i) => (i === 0 ? Number.NaN : 1_790_000_000 + i)),
    line: pick(4),
  }
}

export const inOrder = (n: number) => Uint32Array.from({ length: n }, (_, i) => i)

/** Two characteristics, three builds, two loads, and parts in them; no measurements yet. */
export async function furnish(writer: Writer): Promise<void> {
  await writer.put('part_number', [{ id: 1, number: 'P-1', revision: 'A', name: 'bracket' }])
  await writer.put('characteristic', [
    characteristic(1, '10'),
    characteristic(2, '2'),
    characteristic(3, '1'),
  ])
  await writer.put('build', [
    build(1, 'B10', 500),
    build(2, 'B9', 500),
    build(3, 'B1', null),
    build(4, 'B2', 100),
  ])
  await writer.put('furnace_load', [load(1, 'L1', 'F2'), load(2, 'L2', null)])
  await writer.put('gauge', [{ id: 1, name: 'CMM-1' }])
  await writer.beginImport(importRow(1))
  await writer.insertParts([
    part(1, 'S10', 1, 1),
    part(2, 'S9', 1, 1),
    part(3, 'S1', 2, null),
    part(4, 'S2', 3, null),
    part(5, 'S3', 4, 2),
  ])
}

/** What every store must do, whatever database is below it. */
export function storeContract(name: string, open: () => Promise<OpenedStore>): void {
  describe(`a store on ${name}`, () => {
    let opened: OpenedStore
    let store: Store
    beforeEach(async () => {
      opened = await open()
      store = unrecorded(opened.store)
    })
    afterEach(() => opened.remove())

    /** Cells 1 to 5 and values in them. */
    const fill = () =>
      store.write(async (writer) => {
        await furnish(writer)
        await writer.insertCells([
          { id: 1, characteristic_id: 1, build_id: 1, furnace_load_id: 1, stage: 'sintered' },
          { id: 2, characteristic_id: 1, build_id: 2, furnace_load_id: null, stage: 'sintered' },
          { id: 3, characteristic_id: 1, build_id: 3, furnace_load_id: null, stage: 'sintered' },
          { id: 4, characteristic_id: 1, build_id: 4, furnace_load_id: 2, stage: 'sintered' },
        ])
        const rows = [
          [1, 1, 1, 10.1, 2],
          [1, 2, 1, 10.3, 3],
          [1, 2, 2, 10.2, 4],
          [2, 3, 1, 9.8, 5],
          [3, 4, 1, 9.9, 6],
          [4, 5, 1, 10, 7],
        ] as const
        await writer.insertMeasurements(1, columns(rows), inOrder(rows.length))
        await writer.mergeCells(
          new Map(
            [1, 2, 3, 4].map((id) => [id, momentsOf(rows.filter((r) => r[0] === id).map((r) => r[3]))]),
          ),
        )
        await writer.countParts([
          { part_number_id: 1, stage: 'sintered', build_id: 1, parts: 2 },
          { part_number_id: 1, stage: 'sintered', build_id: 2, parts: 1 },
          { part_number_id: 1, stage: 'sintered', build_id: 3, parts: 1 },
          { part_number_id: 1, stage: 'sintered', build_id: 4, parts: 1 },
        ])
        await writer.noteGauges([{ build_id: 1, part_number_id: 1, stage: 'sintered', gauge_id: 1 }])
      })

    cellsContract(async () => {
      await fill()
      return store
    })

    decisionsContract(async () => {
      await fill()
      return store
    })

    recordContract(async () => {
      await fill()
      return opened.store
    })

    gaugesContract(async () => {
      await fill()
      return opened.store
    })

    peopleContract(async () => {
      await fill()
      return store
    })

    eventNoticesContract(async () => {
      await fill()
      return store
    })

    ownLimitsContract(() => opened.store)

    factorsContract(async () => {
      await fill()
      return store
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
      await fill()
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
      await fill()
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
      await fill()
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
      await fill()
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
      await fill()
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
      await fill()
      expect(await store.gaugesByCharacteristic(1, 'sintered', [1, 2])).toEqual([
        { characteristicId: 1, gauge: 'CMM-1' },
      ])
      expect(await store.gaugesByCharacteristic(1, 'green', [1])).toEqual([])
      expect(await store.gaugesByCharacteristic(1, 'sintered', [])).toEqual([])
    })

    it('gives everything that is known of a part, and says which of its values count', async () => {
      await fill()
      const part = await store.part(1, 'S9')
      expect(part).toMatchObject({
        serial: 'S9',
        build: { name: 'B10', powderLot: 'K5', scale: { x: 1.18, y: null, z: 1.2 } },
        load: { name: 'L1' },
      })
      if (part === null) throw new Error('there is no part S9')
      const measured = async () =>
        (await store.measurementsOfParts(1, part.build.id, part.id)).map(({ replicate, value, counts }) => [
          replicate,
          value,
          counts,
        ])
      expect(await measured()).toEqual([
        [1, 10.3, true],
        [2, 10.2, true],
      ])
      const [first] = await store.measurementsOfParts(1, part.build.id, part.id)
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
      const inBuild = await store.measurementsOfParts(1, part.build.id, null)
      expect(inBuild.map(({ serial, value }) => [serial, value])).toEqual([
        ['S10', 10.1],
        ['S9', 10.3],
        ['S9', 10.2],
      ])
      expect(await store.measurementsOfParts(2, part.build.id, null)).toEqual([])
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
      await fill()
      const found = async (text: string, most = 50) =>
        (await store.partsNamed(text, most)).map(({ serial }) => serial)
      expect(await found('s1')).toEqual(['S1', 'S10'])
      expect(await store.partsNamed('S10', 50)).toEqual([
        { serial: 'S10', number: 'P-1', revision: 'A', build: 'B10' },
      ])
      expect(await found('S', 2)).toHaveLength(2)
      for (const text of ['%', '_', '\\', "'"]) expect(await found(text)).toEqual([])
    })

    it('says which gauges measured what, part by part where they are several', async () => {
      await fill()
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

    it('leaves out measurements that are there already, and says where the first stands', async () => {
      await fill()
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
      await fill()
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
      await fill()
      await store.write((writer) => writer.mergeCells(new Map([[1, momentsOf([10.6, 9.4])]])))
      const cell = (await store.cellsOf(1, 'sintered')).find((c) => c.buildId === 1)
      const all = momentsOf([10.1, 10.3, 10.2, 10.6, 9.4])
      expect(cell).toMatchObject({ n: 5, min: 9.4, max: 10.6 })
      expect(cell?.mean).toBeCloseTo(all.mean, 12)
      expect(cell?.m2).toBeCloseTo(all.m2, 12)
    })

    describe('with cells of different sizes', () => {
      const large = Array.from({ length: 300 }, (_, i) => Math.round((10 + Math.sin(i) / 50) * 1e4) / 1e4)
      const small = Array.from({ length: 20 }, (_, i) => Math.round((10 + Math.cos(i) / 50) * 1e4) / 1e4)
      beforeEach(() =>
        store.write(async (writer) => {
          await furnish(writer)
          await writer.insertCells([
            { id: 1, characteristic_id: 1, build_id: 1, furnace_load_id: 1, stage: 'sintered' },
            { id: 2, characteristic_id: 1, build_id: 2, furnace_load_id: null, stage: 'sintered' },
          ])
          const rows = [
            ...large.map((value, i) => [1, 1, i + 1, value, i + 2] as const),
            ...small.map((value, i) => [2, 3, i + 1, value, i + 302] as const),
          ]
          await writer.insertMeasurements(1, columns(rows), inOrder(rows.length))
          await writer.mergeCells(
            new Map([
              [1, momentsOf(large)],
              [2, momentsOf(small)],
            ]),
          )
        }),
      )

      const sorted = (values: Iterable<number>) => Float64Array.from(values).sort()

      it('gives the distribution: the large cell in buckets, the small one value by value', async () => {
        const { values, buckets } = await store.distribution(1, 'sintered', null)
        expect(sorted(values)).toEqual(sorted(small))
        expect(buckets).toEqual([bucketCounts(large)])
        const [median] = quantileBounds({ values, buckets }, [0.5])
        const [exact] = quantiles([...large, ...small], [0.5], 7)
        expect(median?.lower).toBeLessThanOrEqual(exact as number)
        expect(median?.upper).toBeGreaterThanOrEqual(exact as number)
        const ofBuild = await store.distribution(1, 'sintered', new Set([2]))
        expect(ofBuild.buckets).toEqual([])
        expect(await store.distribution(2, 'sintered', null)).toEqual({
          values: new Float64Array(),
          buckets: [],
        })
      })

      it('gives all values one by one where they are asked for', async () => {
        expect(sorted(await store.exactValues(1, 'sintered', null))).toEqual(sorted([...large, ...small]))
        expect(sorted(await store.exactValues(1, 'sintered', new Set([1])))).toEqual(sorted(large))
      })

      it('counts anew when values come to a cell', async () => {
        await store.write(async (writer) => {
          const rows = large.slice(0, 50).map((value, i) => [1, 2, i + 1, value + 0.1, i + 400] as const)
          await writer.insertMeasurements(1, columns(rows), inOrder(rows.length))
          await writer.mergeCells(new Map([[1, momentsOf(rows.map((row) => row[3]))]]))
        })
        const { buckets } = await store.distribution(1, 'sintered', new Set([1]))
        expect(buckets).toEqual([bucketCounts([...large, ...large.slice(0, 50).map((v) => v + 0.1)])])
      })

      it('leaves out single values that are excluded, and takes them back', async () => {
        const grounds = { reason: 'dropped on the floor', who: 'M. Doe', at: 1 }
        const place = {
          characteristicId: 1,
          stage: 'sintered' as const,
          buildId: 1,
          single: { serial: 'S10', replicate: 1 },
        }
        const id = await store.write((writer) => writer.leaveOut(place, grounds))
        const without = await store.distribution(1, 'sintered', new Set([1]))
        expect(without.buckets).toEqual([])
        expect(sorted(without.values)).toEqual(sorted(large.slice(1)))
        expect(sorted(await store.exactValues(1, 'sintered', new Set([1])))).toEqual(sorted(large.slice(1)))
        await store.write((writer) => writer.takeBack(id as number, grounds))
        expect(sorted(await store.exactValues(1, 'sintered', new Set([1])))).toEqual(sorted(large))
      })
    })

    it('allows one cell to a place, also where no furnace load is known', async () => {
      await fill()
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
      await fill()
      await expect(store.write((writer) => writer.insertParts([part(20, 'S20', 99, null)]))).rejects.toThrow()
      await expect(
        store.write((writer) => writer.insertMeasurements(1, columns([[77, 1, 1, 10, 9]]), inOrder(1))),
      ).rejects.toThrow()
    })

    it('knows its catalogue, parts by serial number, and the next free identities', async () => {
      await fill()
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
