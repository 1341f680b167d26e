/** Units that a measured value may carry. Values stay in the unit they were given in. */
export type Unit = 'mm' | 'in' | 'um' | 'deg'

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
}
