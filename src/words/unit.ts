import type { Unit } from '../domain/characteristic.ts'

/** A unit as it is written behind a figure. */
export function unitText(unit: Unit): string {
  return unit === 'um' ? 'µm' : unit === 'deg' ? '°' : unit
}
