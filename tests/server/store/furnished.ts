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
import { momentsOf } from '../../../src/description/moments.ts'

/** A small shop to test stores with. */

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

export const part = (id: number, serial: string, buildId: number, loadId: number | null): PartTable => ({
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

export const receipt = (id: number, verdict: Receipt['verdict'] = 'taken'): Receipt => ({
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

export function importRow(id: number) {
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

/** The same with cells 1 to 4 and values in them. */
export const fill = (store: Store) =>
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
      new Map([1, 2, 3, 4].map((id) => [id, momentsOf(rows.filter((r) => r[0] === id).map((r) => r[3]))])),
    )
    await writer.countParts([
      { part_number_id: 1, stage: 'sintered', build_id: 1, parts: 2 },
      { part_number_id: 1, stage: 'sintered', build_id: 2, parts: 1 },
      { part_number_id: 1, stage: 'sintered', build_id: 3, parts: 1 },
      { part_number_id: 1, stage: 'sintered', build_id: 4, parts: 1 },
    ])
    await writer.noteGauges([{ build_id: 1, part_number_id: 1, stage: 'sintered', gauge_id: 1 }])
  })
