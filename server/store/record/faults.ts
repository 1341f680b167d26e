import { MOST_FAULTS, type RecordFault } from '../../contract/record.ts'

/** Gathers what is wrong with the record: spelled out up to a bound, and counted beyond it. */
export class Faults {
  readonly all: RecordFault[] = []
  count = 0

  add(kind: RecordFault['kind'], sequence: number | null, what: string): void {
    this.count++
    if (this.all.length < MOST_FAULTS) this.all.push({ kind, sequence, what })
  }
}
