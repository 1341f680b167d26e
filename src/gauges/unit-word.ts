import type { Characteristic } from '../domain/characteristic.ts'

/** A unit as it stands behind a figure. */
export function unitWord({ unit }: Characteristic): string {
  return unit === 'um' ? 'µm' : unit === 'deg' ? '°' : unit
}
