/** Which parts of a build were measured, where they lay in the bed, and where they stood in the furnace. */

import { WIDE_BUILD } from './planted.ts'
import type { Random } from './random.ts'
import type { Schedule } from './schedule.ts'
import { BED, BED_GRID, PART_NUMBERS, type PartNumber, PLACES_PER_TRAY, TRAYS } from './shop.ts'

export interface ShopPart {
  readonly of: PartNumber
  readonly serial: string
  /** Index of the build in the schedule. */
  readonly build: number
  /** Index of the furnace load in the schedule. */
  readonly load: number
  readonly tray: number
  readonly trayPlace: number
  /** Middle of the part, mm from the corner of the box. */
  readonly bed: { readonly x: number; readonly y: number; readonly z: number }
}

const SLOTS = BED_GRID.x * BED_GRID.y * BED_GRID.z
const SLOTS_PER_PART_NUMBER = SLOTS / PART_NUMBERS.length

/** Slots of the bed's grid that one part number takes, and the middle of each, mm. */
function slotsOf(partNumberIndex: number): ShopPart['bed'][] {
  const slots: ShopPart['bed'][] = []
  for (let k = 0; k < BED_GRID.z; k++)
    for (let j = 0; j < BED_GRID.y; j++)
      for (let i = 0; i < BED_GRID.x; i++)
        if ((i + j + k) % PART_NUMBERS.length === partNumberIndex)
          slots.push({
            x: (BED.x / BED_GRID.x) * (i + 0.5),
            y: (BED.y / BED_GRID.y) * (j + 0.5),
            z: (BED.z / BED_GRID.z) * (k + 0.5),
          })
  return slots
}

/** Measured parts of a build and part number: ten to twenty; twenty in the build whose scatter was doubled. */
function measuredCount(random: Random, buildNumber: number): number {
  const drawn = random.integer(10, 20)
  return buildNumber === WIDE_BUILD.build ? 20 : drawn
}

/** All measured parts, by build, part number and serial. */
export function drawParts(random: Random, schedule: Schedule): ShopPart[] {
  const places = TRAYS.flatMap((tray) =>
    Array.from({ length: PLACES_PER_TRAY }, (_, i) => ({ tray, trayPlace: i + 1 })),
  )
  // A load's places are dealt out in random order, whichever build takes them.
  const freePlaces = schedule.loads.map(() => random.sample(places, places.length))
  return schedule.builds.flatMap((build, b) =>
    PART_NUMBERS.flatMap((of, p) => {
      const count = measuredCount(random, build.number)
      const slots = slotsOf(p)
      const chosen = random.sample([...slots.keys()], count).sort((a, c) => a - c)
      return chosen.map((slot): ShopPart => {
        const load = random.pick(build.loads)
        const place = freePlaces[load]?.pop()
        if (place === undefined) throw new Error(`furnace load ${load} is full`)
        return {
          of,
          serial: `${of.serialPrefix}${String(of.firstSerial + b * SLOTS_PER_PART_NUMBER + slot).padStart(5, '0')}`,
          build: b,
          load,
          ...place,
          bed: slots[slot] as ShopPart['bed'],
        }
      })
    }),
  )
}
