/** The record of what was planted, as written to planted.json: machine-readable, with words for people. */

import type { Axis } from '../src/domain/characteristic.ts'
import { sigmaOfBuildMean } from './physics.ts'
import {
  FURNACE_DRIFT,
  HOT_TRAY,
  MISTYPED,
  type PlantedId,
  POWDER_STEP,
  SCALE_Y,
  WIDE_BUILD,
} from './planted.ts'
import { buildName, isLinear, LAST_BUILD, PART_NUMBERS, type ShopCharacteristic, TRAYS } from './shop.ts'

interface MovedCharacteristic {
  readonly partNumber: string
  readonly designator: string
  /** How much of the relative change reaches it: 1, or 0.5 for a diameter when one axis of the plane moves. */
  readonly share: number
  /** Change of size at its greatest, mm; null where scatter changed and size did not. */
  readonly mm: number | null
  /** By how much it moves the mean of fifteen parts of a build, in true standard deviations of that mean. */
  readonly sigmas: number | null
}

export interface PlantedCause {
  readonly id: PlantedId
  readonly kind: 'step' | 'drift' | 'tray' | 'scale factor' | 'scatter' | 'typing error'
  readonly description: string
  readonly partNumbers: readonly string[]
  readonly characteristics: readonly MovedCharacteristic[]
  /** Null where all axes or none are concerned. */
  readonly axis: Axis | null
  readonly firstBuild: string
  readonly lastBuild: string
  readonly size: {
    /** Change of size at its greatest, per cent of the size. */
    readonly percent: number | null
    /** Factor on the scatter of parts. */
    readonly scatterFactor: number | null
  }
  /** Which chart by builds shows it; null for none. */
  readonly shownBy: 'location' | 'spread' | null
  /** What changed or applied; null where nothing recorded did. */
  readonly condition: Readonly<Record<string, string | number>> | null
}

/** The row that was typed wrongly. */
export interface TypedWrong {
  readonly serial: string
  readonly meant: number
  readonly typed: number
}

/** Parts of one part number in a build of usual size. */
const USUAL_PARTS = 15

/**
 * Linear characteristics that a relative change along `axis` (null: all axes) reaches, when it concerns the
 * fraction `ofParts` of a build's parts.
 */
function moved(axis: Axis | null, change: number | null, ofParts = 1): MovedCharacteristic[] {
  return PART_NUMBERS.flatMap(({ partNumber, characteristics }) =>
    characteristics.filter(isLinear).flatMap((of) => {
      const share = shareOf(of, axis)
      if (share === 0) return []
      const mm = change === null ? null : share * change * of.nominal
      const parts = USUAL_PARTS / of.everyNth
      const sigmas = mm === null ? null : (mm * ofParts) / sigmaOfBuildMean(of, parts)
      return [
        { partNumber, designator: of.designator, share, mm: rounded(mm, 4), sigmas: rounded(sigmas, 2) },
      ]
    }),
  )
}

function shareOf(of: ShopCharacteristic, axis: Axis | null): number {
  if (axis === null || of.axis === axis) return 1
  return of.axis === null && axis !== 'Z' ? 0.5 : 0
}

const rounded = (value: number | null, digits: number) =>
  value === null ? null : Number(value.toFixed(digits))

const BOTH = PART_NUMBERS.map(({ partNumber }) => partNumber)

function change(fraction: number): PlantedCause['size'] {
  return { percent: rounded(fraction * 100, 3), scatterFactor: null }
}

/** All causes, in the order in which they begin; `typedWrong` is null where that cause was left out. */
export function describePlanted(typedWrong: TypedWrong | null): PlantedCause[] {
  const scaleStep = SCALE_Y.after / SCALE_Y.before - 1
  const causes: PlantedCause[] = [
    {
      id: 'hot-tray',
      kind: 'tray',
      description:
        'Tray 5 of furnace 1 runs hot: parts on it come out smaller along all axes. Too little to show in the mean of a build; parts compared by furnace and tray show it.',
      partNumbers: BOTH,
      characteristics: moved(null, HOT_TRAY.change, 1 / TRAYS.length),
      axis: null,
      firstBuild: buildName(HOT_TRAY.firstBuild),
      lastBuild: buildName(LAST_BUILD),
      size: change(HOT_TRAY.change),
      shownBy: null,
      condition: { condition: 'tray', furnace: HOT_TRAY.furnace, tray: HOT_TRAY.tray },
    },
    {
      id: 'scale-correction',
      kind: 'scale factor',
      description:
        'Scale factor Y was too large from the start and is corrected: sizes along Y step down, close to nominal.',
      partNumbers: BOTH,
      characteristics: moved('Y', scaleStep),
      axis: 'Y',
      firstBuild: buildName(SCALE_Y.firstBuild),
      lastBuild: buildName(LAST_BUILD),
      size: change(scaleStep),
      shownBy: 'location',
      condition: { condition: 'scaleY', from: SCALE_Y.before, to: SCALE_Y.after },
    },
    {
      id: 'furnace-drift',
      kind: 'drift',
      description:
        'Furnace 2 drifts: parts sintered in it shrink more and more along X, evenly from build to build. The size given is that of the last build.',
      partNumbers: BOTH,
      characteristics: moved('X', FURNACE_DRIFT.changeAtEnd),
      axis: 'X',
      firstBuild: buildName(FURNACE_DRIFT.firstBuild),
      lastBuild: buildName(LAST_BUILD),
      size: change(FURNACE_DRIFT.changeAtEnd),
      shownBy: 'location',
      condition: { condition: 'furnace', furnace: FURNACE_DRIFT.furnace },
    },
    {
      id: 'wide-build',
      kind: 'scatter',
      description: 'One build with twice the scatter from part to part; its means are as usual.',
      partNumbers: BOTH,
      characteristics: moved(null, null),
      axis: null,
      firstBuild: buildName(WIDE_BUILD.build),
      lastBuild: buildName(WIDE_BUILD.build),
      size: { percent: null, scatterFactor: WIDE_BUILD.factor },
      shownBy: 'spread',
      condition: null,
    },
    {
      id: 'powder-lot-step',
      kind: 'step',
      description: 'Powder lot K8 shrinks more along Z than K7: sizes along Z step down.',
      partNumbers: BOTH,
      characteristics: moved('Z', POWDER_STEP.change),
      axis: 'Z',
      firstBuild: buildName(POWDER_STEP.firstBuild),
      lastBuild: buildName(LAST_BUILD),
      size: change(POWDER_STEP.change),
      shownBy: 'location',
      condition: { condition: 'powderLot', from: POWDER_STEP.from, to: POWDER_STEP.to },
    },
  ]
  return typedWrong === null ? causes : [...causes, describeMistyped(typedWrong)]
}

function describeMistyped({ serial, meant, typed }: TypedWrong): PlantedCause {
  const { build, partNumber, designator } = MISTYPED
  const off = typed - meant
  return {
    id: 'mistyped-value',
    kind: 'typing error',
    description: `Part ${serial}: the last two decimals of one value were exchanged, ${typed.toFixed(3)} for ${meant.toFixed(3)}.`,
    partNumbers: [partNumber],
    characteristics: [{ partNumber, designator, share: 1, mm: rounded(off, 4), sigmas: null }],
    axis: 'X',
    firstBuild: buildName(build),
    lastBuild: buildName(build),
    size: { percent: rounded((off / meant) * 100, 3), scatterFactor: null },
    shownBy: 'spread',
    condition: null,
  }
}
