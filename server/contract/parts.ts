import { z } from 'zod'
import type { Build, FurnaceLoad } from '../../src/domain/build.ts'
import type { Stage } from '../../src/domain/cell.ts'
import type { Characteristic } from '../../src/domain/characteristic.ts'
import type { ConformityDecision } from '../../src/gauges/conformity.ts'
import type { JudgedCharacteristic } from '../../src/words/part-words.ts'
import type { Sentence } from '../../src/words/sentence.ts'
import type { Signature } from './decisions.ts'
import type { PartNumber, TracedMeasurement } from './views.ts'

/** GET /api/parts */
export const partsQuery = z.object({
  /** Any part of a serial number, in small or capital letters. */
  serial: z.string().trim().min(1, 'Give a serial number, or a part of one.').max(200),
})

export interface PartFound {
  readonly serial: string
  readonly number: string
  readonly revision: string
  readonly build: string
}

export interface PartsFoundView {
  /** In natural order of their serial numbers. */
  readonly parts: readonly PartFound[]
  /** Whether there are more than these. */
  readonly more: boolean
}

/** What one measured value proves of its part. */
export interface ValueConformity {
  readonly decision: ConformityDecision
  /**
   * Expanded uncertainty (k = 2) in the unit that was measured in; null where nothing is known of the gauge, and then
   * the value is taken as it stands.
   */
  readonly expanded: number | null
  /** Probability that the true value is within the limits; null where nothing is known of the gauge. */
  readonly probability: number | null
}

export interface PartValue extends TracedMeasurement {
  readonly characteristic: Characteristic
  readonly stage: Stage
  /** Whether it goes into charts and figures. */
  readonly counts: boolean
  /**
   * Why it does not, where somebody left it out, or its build as a whole. Left out by itself, it is not judged either.
   */
  readonly leftOut: (Signature & { readonly reason: string }) | null
  /** Null where the drawing limits nothing at this stage. */
  readonly conformity: ValueConformity | null
  /** The values that count of the same build and furnace load, this one among them. */
  readonly among: {
    readonly n: number
    readonly mean: number
    /** Null where there is one value alone. */
    readonly deviation: number | null
  }
}

/** GET /api/part-numbers/:number/:revision/parts/:serial */
export interface PartView {
  readonly partNumber: PartNumber
  readonly serial: string
  readonly bed: { readonly x: number | null; readonly y: number | null; readonly z: number | null }
  readonly tray: string | null
  readonly trayPlace: string | null
  readonly build: Build
  readonly load: FurnaceLoad | null
  readonly headline: Sentence
  readonly grounds: Sentence
  /** By characteristic in natural order, then stage and reading. */
  readonly values: readonly PartValue[]
  /** Characteristics on record that nothing was measured of at all. */
  readonly unmeasured: readonly Pick<Characteristic, 'designator' | 'name'>[]
}

/** One part of a build, judged as on its own page. */
export interface JudgedPart {
  readonly serial: string
  readonly bed: PartView['bed']
  readonly load: string | null
  readonly tray: string | null
  readonly trayPlace: string | null
  /** Null where the drawing limits nothing that was measured on it. */
  readonly decision: ConformityDecision | null
  /** Characteristics that were measured and that the drawing limits. */
  readonly judged: number
  /** Of these, those that tell against it. */
  readonly against: readonly JudgedCharacteristic[]
}

/** GET /api/part-numbers/:number/:revision/parts-of-build/:build */
export interface BuildPartsView {
  readonly partNumber: PartNumber
  readonly build: Build
  /** Characteristics that the drawing limits. */
  readonly limited: number
  readonly headline: Sentence
  readonly grounds: Sentence
  /** What does not conform comes first, then what is not proved to, then by serial number. */
  readonly parts: readonly JudgedPart[]
}
