/**
 * Makes up a file of measurements, as a measuring machine writes it: part after part, each with all its
 * characteristics.
 */
import { closeSync, openSync, writeSync } from 'node:fs'

export const CHARACTERISTICS = 16
/** Parts to a build. */
export const PARTS = 48

/** Write so many rows, of parts numbered from `firstPart`; the same bytes each time. */
export function writeMeasurements(path: string, rows: number, firstPart: number): void {
  const file = openSync(path, 'w')
  const put = (text: string) => writeSync(file, text)
  put(
    'part_number,revision,serial,build,furnace_load,tray,tray_place,bed_x,bed_y,bed_z,characteristic,value,unit,stage,measured_at,gauge,inspector\n',
  )
  let state = 1 + firstPart
  const random = () => {
    // Minimal standard generator of Park and Miller, Communications of the ACM 31 (1988), 1192–1201.
    state = (state * 48_271) % 2_147_483_647
    return state / 2_147_483_647
  }
  let text = ''
  for (let row = 0; row < rows; row++) {
    const part = firstPart + Math.floor(row / CHARACTERISTICS)
    const build = Math.floor(part / PARTS)
    const place = part % PARTS
    const minute = new Date(Date.UTC(2026, 0, 1) + (part % 100_000) * 300_000).toISOString().slice(0, 16)
    const value = (10 + (row % CHARACTERISTICS) + (random() - 0.5) / 10).toFixed(4)
    text += `HB-204,C,S${100_000 + part},B${1000 + build},L${500 + build},${1 + (place % 6)},${String.fromCharCode(65 + (place % 8))}${1 + (place % 6)},${20 + (place % 8) * 22.5},${15 + (place % 6) * 30},${10 + (place % 3) * 40},${1 + (row % CHARACTERISTICS)},${value},mm,sintered,${minute},CMM-1,J. Doe\n`
    if (text.length > 1e6) {
      put(text)
      text = ''
    }
  }
  put(text)
  closeSync(file)
}
