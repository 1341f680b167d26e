import type { LimitSides } from './own-limits.ts'

/** Units that a measured value may be written in. Values stay in the unit they were given in. */
export type WrittenUnit = 'mm' | 'in' | 'um' | 'deg'

/** The unit of values judged against limits of the part's own: see `own-limits.ts`. */
export const OWN_TOLERANCE = '× own tolerance'

/** What a value that is charted and judged may be in. */
export type Unit = WrittenUnit | typeof OWN_TOLERANCE

/** Direction of a dimension in the build: X and Y in the plane of a layer, Z upwards. */
export type Axis = 'X' | 'Y' | 'Z'

/** What kind of requirement a characteristic is; decides which distribution and which advice fit it. */
export type CharacteristicKind =
  | 'length'
  | 'diameter'
  | 'thickness'
  | 'angle'
  | 'flatness'
  | 'position'
  | 'roundness'
  | 'straightness'
  | 'parallelism'
  | 'perpendicularity'
  | 'profile'
  | 'roughness'
  | 'other'

/** Kinds whose values cannot be below zero and whose target is zero: deviations of form and place. */
export const KINDS_WITH_FLOOR: ReadonlySet<CharacteristicKind> = new Set([
  'flatness',
  'position',
  'roundness',
  'straightness',
  'parallelism',
  'perpendicularity',
  'profile',
  'roughness',
])

/** One measured requirement on a drawing. Limits, like the nominal, are in `unit`; either may be absent. */
export interface Characteristic {
  readonly id: number
  /** Balloon number on the drawing. */
  readonly designator: string
  readonly name: string
  readonly kind: CharacteristicKind
  readonly nominal: number | null
  /** Lower specification limit; a part exactly on it conforms. */
  readonly lower: number | null
  /** Upper specification limit; a part exactly on it conforms. */
  readonly upper: number | null
  readonly unit: Unit
  readonly axis: Axis | null
  /** Present where each part comes with limits of its own; nominal, limits and unit are then those of judged values. */
  readonly ownLimits?: StatedLimits
}

/** A characteristic as the drawing states it and gauges measure it, whatever its values are judged by. */
export type StatedCharacteristic = Omit<Characteristic, 'unit' | 'ownLimits'> & { readonly unit: WrittenUnit }

/** The unit that its values are written and measured in, whatever they are judged in. */
export function writtenUnit({ unit, ownLimits }: Characteristic): Unit {
  return ownLimits?.unit ?? unit
}

/** Whether its values are judged as the drawing states it, and not by limits of the part's own. */
export function isStated(characteristic: Characteristic): characteristic is StatedCharacteristic {
  return characteristic.ownLimits === undefined
}

/** What the drawing states of a characteristic whose limits are each part's own. */
export interface StatedLimits {
  /** Which limits each part brings. */
  readonly sides: LimitSides
  readonly nominal: number | null
  /** A part's own limits are never tighter than these; null where the drawing states none. */
  readonly lower: number | null
  readonly upper: number | null
  /** The unit that values and limits are written in. */
  readonly unit: WrittenUnit
}
