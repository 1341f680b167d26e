import type { NewCell } from '../../server/store/engine.ts'
import type { PartTable } from '../../server/store/schema.ts'
import type { Store } from '../../server/store/store.ts'
import type { Writer } from '../../server/store/writer.ts'
import { momentsOf } from '../../src/description/moments.ts'
import type { Stage } from '../../src/domain/cell.ts'

/** How large a shop is made up. */
export interface ShopSize {
  readonly measurements: number
  readonly builds: number
  readonly characteristics: number
}

/** Builds that come in one import. */
const BUILDS_TO_AN_IMPORT = 20
const STAGE: Stage = 'sintered'

/**
 * Fill an empty store with one part number, in the order in which builds come in: the values of a build lie
 * together. Where a build has fewer values than there are characteristics, it takes the next ones in turn.
 *
 * @returns how many cells there are; they are numbered from 1 in the order of builds
 */
export async function fillShop(store: Store, size: ShopSize): Promise<{ readonly cells: number }> {
  await store.write(async (writer) => {
    await furnish(writer, size)
    await writer.withoutEntry('what stands before the first import')
  })
  let cells = 0
  let parts = 0
  for (let first = 0; first < size.builds; first += BUILDS_TO_AN_IMPORT) {
    await store.write(async (writer) => {
      const filled = await fillBuilds(writer, size, first, cells, parts)
      cells += filled.cells
      parts += filled.parts
    })
  }
  return { cells }
}

async function furnish(writer: Writer, { builds, characteristics }: ShopSize): Promise<void> {
  const ids = (n: number) => Array.from({ length: n }, (_, i) => i + 1)
  await writer.put('part_number', [{ id: 1, number: 'HB-204', revision: 'C', name: 'hinge bracket' }])
  await writer.put(
    'characteristic',
    ids(characteristics).map((id) => ({
      id,
      part_number_id: 1,
      designator: String(id),
      name: `Length ${id}`,
      kind: 'length' as const,
      nominal: 10 + id,
      lower: 9.8 + id,
      upper: 10.2 + id,
      unit: 'mm' as const,
      own_limits: null,
      axis: (['X', 'Y', 'Z'] as const)[id % 3] ?? null,
    })),
  )
  await writer.put('gauge', [{ id: 1, name: 'CMM-1' }])
  await writer.put('inspector', [{ id: 1, name: 'J. Doe' }])
  await writer.put(
    'build',
    ids(builds).map((id) => ({
      id,
      name: `B${1000 + id}`,
      printed_at: 1_700_000_000 + id * 86_400,
      printer: 'PR-1',
      build_box: null,
      powder_lot: `K${Math.floor(id / 20)}`,
      powder_reuse: id % 20,
      scale_x: 1.18,
      scale_y: 1.18,
      scale_z: 1.2,
      conditions: '{"humidity":"41 %"}',
    })),
  )
  await writer.put(
    'furnace_load',
    ids(builds).map((id) => ({
      id,
      name: `L${1000 + id}`,
      sintered_at: 1_700_100_000 + id * 86_400,
      furnace: `F${id % 3}`,
      profile: null,
      atmosphere: null,
      conditions: '{}',
    })),
  )
}

async function fillBuilds(
  writer: Writer,
  size: ShopSize,
  first: number,
  cellsBefore: number,
  partsBefore: number,
) {
  const last = Math.min(size.builds, first + BUILDS_TO_AN_IMPORT)
  const importId = first / BUILDS_TO_AN_IMPORT + 1
  const startOf = (build: number) => Math.floor((build * size.measurements) / size.builds)
  const rows = startOf(last) - startOf(first)
  const columns = {
    cell: new Int32Array(rows),
    part: new Int32Array(rows),
    replicate: new Int32Array(rows).fill(1),
    value: new Float64Array(rows),
    gauge: new Int32Array(rows).fill(1),
    inspector: new Int32Array(rows).fill(1),
    measuredAt: new Float64Array(rows),
    line: new Int32Array(rows),
  }
  const cells: NewCell[] = []
  const parts: PartTable[] = []
  const moments = new Map()
  const counts = []
  const random = randomFrom(first + 1)
  let row = 0
  for (let build = first; build < last; build++) {
    const values = startOf(build + 1) - startOf(build)
    const offset = startOf(build)
    const partsHere = Math.ceil(values / size.characteristics)
    const firstPart = partsBefore + parts.length + 1
    for (let i = 0; i < partsHere; i++) {
      parts.push({
        id: firstPart + i,
        part_number_id: 1,
        serial: `S${100_000 + firstPart + i}`,
        build_id: build + 1,
        bed_x: 20 + (i % 8) * 22.5,
        bed_y: 15 + (i % 6) * 30,
        bed_z: 10 + (i % 3) * 40,
        furnace_load_id: build + 1,
        tray: String(1 + (i % 6)),
        tray_place: `A${1 + (i % 6)}`,
        stages: 2,
      })
    }
    const drift = (random() - 0.5) / 50
    for (let k = 0; k < Math.min(values, size.characteristics); k++) {
      const characteristic = 1 + ((offset + k) % size.characteristics)
      const id = cellsBefore + cells.length + 1
      cells.push({
        id,
        characteristic_id: characteristic,
        build_id: build + 1,
        furnace_load_id: build + 1,
        stage: STAGE,
      })
      const from = row
      for (let v = k, part = firstPart; v < values; v += size.characteristics, part++, row++) {
        columns.cell[row] = id
        columns.part[row] = part
        columns.value[row] =
          Math.round((10 + characteristic + drift + (random() + random() + random() - 1.5) / 20) * 1e4) / 1e4
        columns.measuredAt[row] = 1_700_000_000 + build * 86_400 + v * 10
        columns.line[row] = row + 2
      }
      moments.set(id, momentsOf(columns.value.subarray(from, row)))
    }
    counts.push({ part_number_id: 1, stage: STAGE, build_id: build + 1, parts: partsHere })
  }
  const imported = {
    id: importId,
    sha256: String(importId).padStart(64, '0'),
    file_name: `builds from ${first}.csv`,
    bytes: rows * 100,
    kind: 'measurements',
    verdict: 'taken',
    who: 'J. Doe',
    at: 1_700_000_000,
    rows_read: rows,
    rows_taken: rows,
    rows_refused: 0,
    out_of_specification: 0,
    receipt: '{}',
  } as const
  await writer.beginImport(imported)
  await writer.insertParts(parts)
  await writer.insertCells(cells)
  await writer.insertMeasurements(
    importId,
    columns,
    Uint32Array.from({ length: rows }, (_, i) => i),
  )
  await writer.mergeCells(moments)
  await writer.countParts(counts)
  await writer.noteGauges(counts.map(({ parts: _, ...at }) => ({ ...at, gauge_id: 1 })))
  await writer.concludeImport(imported, [1])
  return { cells: cells.length, parts: parts.length }
}

/** Minimal standard generator of Park and Miller, Communications of the ACM 31 (1988), 1192–1201. */
function randomFrom(seed: number): () => number {
  let state = seed * 7919
  return () => {
    state = (state * 48_271) % 2_147_483_647
    return state / 2_147_483_647
  }
}
