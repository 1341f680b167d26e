/** The causes planted in the history, all of them after the first twenty-five builds, which are a clean baseline. */

import type { PerAxis } from './physics.ts'
import type { ShopLoad } from './schedule.ts'
import { LAST_BUILD } from './shop.ts'

/** In the order in which they begin. */
export const PLANTED_IDS = [
  'hot-tray',
  'scale-correction',
  'furnace-drift',
  'wide-build',
  'powder-lot-step',
  'mistyped-value',
] as const
export type PlantedId = (typeof PLANTED_IDS)[number]

/** Tray 5 of furnace 1 runs hot: parts on it come out smaller along all axes. */
export const HOT_TRAY = { firstBuild: 427, furnace: 'F1', tray: 5, change: -0.00045 } as const

/** Scale factor Y was too large from the start and is corrected. */
export const SCALE_Y = { firstBuild: 430, before: 1.1902, after: 1.1887 } as const

/** Furnace 2 drifts: parts from it shrink more and more along X. */
export const FURNACE_DRIFT = { firstBuild: 432, furnace: 'F2', changeAtEnd: -0.0022 } as const

/** One build whose parts scatter twice as much as those of the others. */
export const WIDE_BUILD = { build: 437, factor: 2 } as const

/** The third powder lot shrinks more along Z. */
export const POWDER_STEP = { firstBuild: 441, from: 'K7', to: 'K8', change: -0.0012 } as const

/** One value typed with its last two decimals exchanged. */
export const MISTYPED = { build: 449, partNumber: 'HB-204', designator: '7' } as const

/** Relative change of size along X in furnace 2: none before the drift begins, then growing evenly with the builds. */
function furnaceDrift(build: number): number {
  const steps = Math.max(0, build - FURNACE_DRIFT.firstBuild + 1)
  return (FURNACE_DRIFT.changeAtEnd * steps) / (LAST_BUILD - FURNACE_DRIFT.firstBuild + 1)
}

/** Relative change of size, by planted causes, of a part of `build` on `tray` in `load`; the scale factor left out. */
export function plantedChange(
  planted: ReadonlySet<PlantedId>,
  build: number,
  load: ShopLoad,
  tray: number,
): PerAxis {
  const onHotTray =
    load.furnace === HOT_TRAY.furnace && tray === HOT_TRAY.tray && build >= HOT_TRAY.firstBuild
  const all = planted.has('hot-tray') && onHotTray ? HOT_TRAY.change : 0
  const drifts = planted.has('furnace-drift') && load.furnace === FURNACE_DRIFT.furnace
  const stepped = planted.has('powder-lot-step') && build >= POWDER_STEP.firstBuild
  return {
    X: all + (drifts ? furnaceDrift(build) : 0),
    Y: all,
    Z: all + (stepped ? POWDER_STEP.change : 0),
  }
}

/** Relative change of size along Y by the correction of the scale factor, against the builds before it. */
export function scaleChange(planted: ReadonlySet<PlantedId>, build: number): number {
  const corrected = planted.has('scale-correction') && build >= SCALE_Y.firstBuild
  return corrected ? SCALE_Y.after / SCALE_Y.before - 1 : 0
}

/** Factor on the scatter of a build's parts. */
export function scatterFactor(planted: ReadonlySet<PlantedId>, build: number): number {
  return planted.has('wide-build') && build === WIDE_BUILD.build ? WIDE_BUILD.factor : 1
}

/** A value of three decimals with the last two exchanged. */
export function swapDecimals(value: number): number {
  return Number(value.toFixed(3).replace(/(\d)(\d)$/, '$2$1'))
}
