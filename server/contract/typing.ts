import type { Study } from '../../src/charts/study.ts'
import type { Spread } from '../../src/checks/expectation.ts'
import type { Cell, Stage } from '../../src/domain/cell.ts'
import type { Characteristic } from '../../src/domain/characteristic.ts'
import type { PartNumber, TimelineBuild } from './views.ts'

/** GET /api/part-numbers/:number/:revision/typing?stage= — what a sheet of typed values is checked against. */
export interface TypingView {
  readonly partNumber: PartNumber
  readonly stage: Stage
  readonly characteristics: readonly Characteristic[]
  /** What is on record of each characteristic, summed up. */
  readonly spreads: readonly Spread[]
  /** The timeline. */
  readonly builds: readonly TimelineBuild[]
  /** By designator: the gauges that measured it in the last builds. */
  readonly gauges: Readonly<Record<string, readonly string[]>>
  /** Furnace loads on record that took parts of it. */
  readonly furnaceLoads: readonly string[]
}

/** GET …/typing/part?stage=&serial= — what is on record of a part whose values are being typed. */
export interface MeasuredPart {
  readonly serial: string
  /** Null where the part is not on record. */
  readonly build: string | null
  readonly values: readonly {
    readonly designator: string
    readonly replicate: number
    /** As measured. */
    readonly value: number
    /** As it is judged and charted: in units of the part's own tolerance, where the part has limits of its own. */
    readonly judged: number
    /** Seconds since 1970-01-01 UTC; null where nothing says when. */
    readonly measuredAt: number | null
    readonly importId: number
    readonly line: number
    /** True where it was left out, and counts for nothing. */
    readonly isLeftOut: boolean
  }[]
}

/** GET …/characteristics/:designator/ground?stage= — what its chart is made from. */
export interface ChartGround {
  readonly study: Study
  readonly cells: readonly Cell[]
  readonly builds: readonly TimelineBuild[]
}
