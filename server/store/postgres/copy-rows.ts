import type { MeasurementColumns } from '../engine.ts'

/** Columns of `encodeMeasurements`, in their order. */
export const COPIED_COLUMNS =
  'value, measured_at, cell_id, part_id, import_id, line, gauge_id, inspector_id, replicate'

/** Greatest number of bytes to a row: 9 columns with their lengths, and a place. */
const ROW_BYTES = 2 + 10 * 4 + 2 * 8 + 7 * 4
const ROWS_TO_A_CHUNK = 1024

const HEADER = Buffer.concat([Buffer.from('PGCOPY\n\xff\r\n\0', 'latin1'), Buffer.alloc(8)])
const TRAILER = Buffer.from([0xff, 0xff])

/**
 * Measurements in the binary format of COPY (PostgreSQL documentation, COPY, Binary Format), in pieces that may be
 * kept: numbers go over as they are in memory, and no digit of a value is written out or read back.
 *
 * @param withPlace true for a first column more: the row's place in `order`
 */
export function* encodeMeasurements(
  importId: number,
  columns: MeasurementColumns,
  order: Uint32Array,
  withPlace: boolean,
): Generator<Buffer> {
  yield HEADER
  for (let start = 0; start < order.length; start += ROWS_TO_A_CHUNK) {
    const end = Math.min(order.length, start + ROWS_TO_A_CHUNK)
    const buffer = Buffer.allocUnsafe((end - start) * ROW_BYTES)
    let at = 0
    const int = (value: number) => {
      at = buffer.writeInt32BE(4, at)
      at = buffer.writeInt32BE(value, at)
    }
    const nothing = () => {
      at = buffer.writeInt32BE(-1, at)
    }
    for (let place = start; place < end; place++) {
      const i = order[place] as number
      at = buffer.writeInt16BE(withPlace ? 10 : 9, at)
      if (withPlace) int(place)
      at = buffer.writeInt32BE(8, at)
      at = buffer.writeDoubleBE(columns.value[i] as number, at)
      const measuredAt = columns.measuredAt[i] as number
      if (Number.isNaN(measuredAt)) nothing()
      else {
        at = buffer.writeInt32BE(8, at)
        // Seconds of the years 1900 to 2199 have at most 33 bits and a sign.
        at = buffer.writeInt32BE(Math.floor(measuredAt / 2 ** 32), at)
        at = buffer.writeUInt32BE(measuredAt >>> 0, at)
      }
      int(columns.cell[i] as number)
      int(columns.part[i] as number)
      int(importId)
      int(columns.line[i] as number)
      const gauge = columns.gauge[i] as number
      if (gauge === 0) nothing()
      else int(gauge)
      const inspector = columns.inspector[i] as number
      if (inspector === 0) nothing()
      else int(inspector)
      at = buffer.writeInt32BE(2, at)
      at = buffer.writeInt16BE(columns.replicate[i] as number, at)
    }
    yield buffer.subarray(0, at)
  }
  yield TRAILER
}
