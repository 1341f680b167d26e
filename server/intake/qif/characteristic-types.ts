import type { CharacteristicKind } from '../../../src/domain/characteristic.ts'

/** How the tolerance of a type of characteristic is to be understood. */
export interface CharacteristicType {
  readonly kind: CharacteristicKind
  readonly quantity: 'linear' | 'angular'
  /**
   * deviations: limits, or deviations from a target value. zone: the width of a zone, which the value may fill
   * from zero upwards. signed-zone: the width of a zone within which a signed deviation may lie.
   */
  readonly tolerance: 'deviations' | 'zone' | 'signed-zone'
}

const dimension = (kind: CharacteristicKind): CharacteristicType => ({
  kind,
  quantity: 'linear',
  tolerance: 'deviations',
})
const angle: CharacteristicType = { kind: 'angle', quantity: 'angular', tolerance: 'deviations' }
const zone = (kind: CharacteristicKind): CharacteristicType => ({
  kind,
  quantity: 'linear',
  tolerance: 'zone',
})

/**
 * Types of characteristics whose measurements carry one value of length or angle, by the beginning of their
 * elements' names ("Diameter" of DiameterCharacteristicItem), ISO 23952. The list is from memory of the schema;
 * a type that is not in it is passed over and named on the receipt, never guessed at.
 */
const TYPES: Readonly<Record<string, CharacteristicType>> = {
  Length: dimension('length'),
  Width: dimension('length'),
  Height: dimension('length'),
  Depth: dimension('length'),
  Chord: dimension('length'),
  CurveLength: dimension('length'),
  DistanceBetween: dimension('length'),
  DistanceFrom: dimension('length'),
  LinearCoordinate: dimension('length'),
  Square: dimension('length'),
  Radius: dimension('length'),
  SphericalRadius: dimension('length'),
  Diameter: dimension('diameter'),
  SphericalDiameter: dimension('diameter'),
  Thickness: dimension('thickness'),
  UserDefinedLinear: dimension('other'),
  Angle: angle,
  AngleBetween: angle,
  AngleFrom: angle,
  AngularCoordinate: angle,
  UserDefinedAngular: angle,
  Flatness: zone('flatness'),
  Straightness: zone('straightness'),
  Circularity: zone('roundness'),
  Parallelism: zone('parallelism'),
  Perpendicularity: zone('perpendicularity'),
  Position: zone('position'),
  LineProfile: zone('profile'),
  SurfaceProfile: zone('profile'),
  SurfaceProfileNonUniform: zone('profile'),
  Angularity: zone('other'),
  Cylindricity: zone('other'),
  Conicity: zone('other'),
  Ellipticity: zone('other'),
  Sphericity: zone('other'),
  Toroidicity: zone('other'),
  OtherForm: zone('other'),
  Concentricity: zone('other'),
  Coaxiality: zone('other'),
  Symmetry: zone('other'),
  CircularRunout: zone('other'),
  TotalRunout: zone('other'),
  // Its value has a sign, which a profile as a whole has not.
  PointProfile: { kind: 'other', quantity: 'linear', tolerance: 'signed-zone' },
}

/** The type that an element's name begins with; null where the program has no place for its values. */
export function characteristicType(element: string): CharacteristicType | null {
  const name = typeName(element)
  return Object.hasOwn(TYPES, name) ? (TYPES[name] as CharacteristicType) : null
}

/** "Diameter" of "DiameterCharacteristicItem". */
export function typeName(element: string): string {
  return element.replace(/Characteristic(Definition|Nominal|Item|Measurement)$/, '')
}
