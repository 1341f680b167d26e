/** What exists in the demonstration shop: drawings, gauges, furnaces, printers. All of it is invented. */

import type { Axis, CharacteristicKind } from '../src/domain/characteristic.ts'

type GaugeName = 'CMM-1' | 'MIC-3'

export interface Gauge {
  readonly name: GaugeName
  /** Values are printed in steps of this, mm. */
  readonly resolution: number
  /** Standard deviation of repeated readings, mm. */
  readonly sigma: number
}

/** One requirement of a drawing, and how the shop makes and measures it. Lengths in mm. */
export interface ShopCharacteristic {
  readonly designator: string
  readonly name: string
  readonly kind: CharacteristicKind
  readonly nominal: number
  /** Null where the drawing has an upper limit only. */
  readonly lower: number | null
  readonly upper: number
  readonly axis: Axis | null
  /** Binder bleeds outwards: +1 an outer size, which it enlarges; −1 an inner one; 0 a distance of centres. */
  readonly sense: -1 | 0 | 1
  readonly gauge: GaugeName
  /** Measured on every part (1) or on every second one (2). */
  readonly everyNth: 1 | 2
}

export interface PartNumber {
  readonly partNumber: string
  readonly revision: string
  readonly name: string
  readonly serialPrefix: string
  readonly firstSerial: number
  readonly characteristics: readonly ShopCharacteristic[]
}

export const GAUGES: Readonly<Record<GaugeName, Gauge>> = {
  'CMM-1': { name: 'CMM-1', resolution: 0.001, sigma: 0.0012 },
  'MIC-3': { name: 'MIC-3', resolution: 0.002, sigma: 0.0016 },
}

export const PRINTERS = ['PR-1', 'PR-2'] as const
export const BUILD_BOXES = ['BX-1', 'BX-2', 'BX-3', 'BX-4'] as const
export const FURNACES = ['F1', 'F2'] as const
export const INSPECTORS = ['ER', 'TS'] as const
export const PROFILE = 'P7'
export const ATMOSPHERE = 'hydrogen'

/** Trays of a furnace, and places on each. */
export const TRAYS = [1, 2, 3, 4, 5, 6] as const
export const PLACES_PER_TRAY = 20

/** Inner size of a build box and the grid that parts are laid in, mm; part numbers alternate like a chessboard. */
export const BED = { x: 350, y: 222, z: 120 } as const
export const BED_GRID = { x: 5, y: 4, z: 3 } as const

/** Builds are numbered in the order of printing. */
export const FIRST_BUILD = 400
export const BUILD_COUNT = 60
export const LAST_BUILD = FIRST_BUILD + BUILD_COUNT - 1

export function buildName(number: number): string {
  return String(number).padStart(4, '0')
}

type Size = readonly [nominal: number, lower: number, upper: number]

function characteristic(
  designator: string,
  name: string,
  kind: CharacteristicKind,
  [nominal, lower, upper]: Size,
  axis: Axis | null,
  sense: -1 | 0 | 1,
  measured: Partial<Pick<ShopCharacteristic, 'gauge' | 'everyNth'>> = {},
): ShopCharacteristic {
  return {
    designator,
    name,
    kind,
    nominal,
    lower,
    upper,
    axis,
    sense,
    gauge: 'CMM-1',
    everyNth: 1,
    ...measured,
  }
}

/** A deviation of form or place: nothing below zero, an upper limit only. */
function deviation(designator: string, name: string, kind: 'flatness' | 'position', upper: number) {
  const common = { nominal: 0, lower: null, axis: null, sense: 0, gauge: 'CMM-1', everyNth: 1 } as const
  return { designator, name, kind, upper, ...common } satisfies ShopCharacteristic
}

export const PART_NUMBERS: readonly PartNumber[] = [
  {
    partNumber: 'HB-204',
    revision: 'C',
    name: 'hinge bracket',
    serialPrefix: 'HB-',
    firstSerial: 18001,
    characteristics: [
      characteristic('1', 'length overall', 'length', [42, 41.84, 42.16], 'X', 1),
      characteristic('2', 'width', 'length', [26, 25.88, 26.12], 'Y', 1),
      characteristic('3', 'height', 'length', [16, 15.94, 16.06], 'Z', 1, { gauge: 'MIC-3' }),
      characteristic('4', 'boss spacing', 'length', [18, 17.93, 18.07], 'X', 0),
      characteristic('5', 'ear spacing', 'length', [14, 13.935, 14.065], 'Y', 0),
      characteristic('6', 'ear height', 'length', [11, 10.955, 11.045], 'Z', 1),
      characteristic('7', 'slot width', 'length', [5.2, 5.17, 5.23], 'X', -1),
      characteristic('8', 'web', 'thickness', [3.2, 3.17, 3.23], 'Y', 1, { gauge: 'MIC-3', everyNth: 2 }),
      characteristic('9', 'step', 'length', [12.4, 12.35, 12.45], 'Z', 0),
      characteristic('10', 'pin bore diameter', 'diameter', [6, 5.97, 6.03], null, -1),
      deviation('11', 'flatness of face A', 'flatness', 0.06),
      deviation('12', 'position of pin bore', 'position', 0.14),
    ],
  },
  {
    partNumber: 'LV-310',
    revision: 'B',
    name: 'latch lever',
    serialPrefix: 'LV-',
    firstSerial: 7001,
    characteristics: [
      characteristic('1', 'length overall', 'length', [45, 44.82, 45.18], 'X', 1),
      characteristic('2', 'width', 'length', [20, 19.91, 20.09], 'Y', 1),
      characteristic('3', 'hub height', 'length', [14, 13.945, 14.055], 'Z', 1),
      characteristic('4', 'arm reach', 'length', [28, 27.89, 28.11], 'X', 0),
      characteristic('5', 'fork opening', 'length', [8, 7.965, 8.035], 'Y', -1),
      characteristic('6', 'arm height', 'length', [7.5, 7.465, 7.535], 'Z', 1),
      characteristic('7', 'rib wall', 'thickness', [3.4, 3.37, 3.43], 'Y', 1, {
        gauge: 'MIC-3',
        everyNth: 2,
      }),
      characteristic('8', 'pivot bore diameter', 'diameter', [8, 7.965, 8.035], null, -1),
      characteristic('9', 'hub diameter', 'diameter', [16, 15.94, 16.06], null, 1, { gauge: 'MIC-3' }),
      deviation('10', 'flatness of face B', 'flatness', 0.06),
      deviation('11', 'position of catch', 'position', 0.14),
    ],
  },
]

/** Kinds whose size follows from the print's scale and the shrinkage. */
export function isLinear(characteristic: ShopCharacteristic): boolean {
  return ['length', 'diameter', 'thickness'].includes(characteristic.kind)
}
