import type { MeasuredAgainstOwn } from '../contract/views.ts'
import type { MeasurementColumns } from '../store/engine.ts'
import type { PartEntry } from './draft.ts'

/** Measurements gathered before they are written together, in the order of their cells. */
export const BATCH = 1 << 16

/** Columns in memory that threads share, so that handing a batch to the thread that writes copies nothing. */
const integers = () => new Int32Array(new SharedArrayBuffer(BATCH * Int32Array.BYTES_PER_ELEMENT))
const numbers = () => new Float64Array(new SharedArrayBuffer(BATCH * Float64Array.BYTES_PER_ELEMENT))

/** Measurements noted down and not written yet. Its columns stay as they are while they are being written. */
export class Batch {
  count = 0
  readonly columns = {
    cell: integers(),
    part: integers(),
    replicate: integers(),
    value: numbers(),
    gauge: integers(),
    inspector: integers(),
    measuredAt: numbers(),
    line: integers(),
  } satisfies MeasurementColumns
  readonly entries: PartEntry[] = []
  readonly characteristic = new Int32Array(BATCH)
  readonly stage = new Uint8Array(BATCH)
  /** Column of each value in the file, counted from 1. */
  readonly position = new Uint16Array(BATCH)
  /** 1 where the file numbers the repeat itself. */
  readonly numbered = new Uint8Array(BATCH)
  /** What values were judged by where each part has limits of its own, by their index; hardly any file brings such. */
  readonly own = new Map<number, MeasuredAgainstOwn>()

  clear(): void {
    this.count = 0
    this.entries.length = 0
    this.own.clear()
  }
}
