/**
 * How a part comes by its size. Read it as
 *
 *   green    = nominal × scale + sense × bleed + face
 *   sintered = green × (1 − shrinkage) × (1 + e)
 *
 * along each axis, where e sums the relative changes of size from build, furnace load, place in the bed, tray and
 * part. A diameter in the plane of the layers takes the mean of X and Y. Sizes are mm, changes of size fractions.
 */

import type { Axis } from '../src/domain/characteristic.ts'
import type { Random } from './random.ts'
import { BED, GAUGES, type ShopCharacteristic } from './shop.ts'

export type PerAxis = Readonly<Record<Axis, number>>

export const AXES = ['X', 'Y', 'Z'] as const satisfies readonly Axis[]

/** Linear shrinkage in sintering, before anything else acts. */
export const SHRINKAGE: PerAxis = { X: 0.1562, Y: 0.1587, Z: 0.1664 }

/** How far binder bleeds past the edge of a feature, both faces together: mean and standard deviation of builds, mm. */
const BLEED = { mean: 0.006, sigma: 0.0012 }

/** Standard deviations of the relative change of size. */
export const SIGMA = {
  /** Builds: along one axis, and all axes together. */
  build: 0.00042,
  buildCommon: 0.00012,
  /** Furnace loads, all axes together. */
  load: 0.0001,
  /** Lasting differences of the trays of a furnace, all axes together. */
  tray: 0.00006,
  /** Parts of one build: along one axis, and all axes together. */
  part: 0.00045,
  partCommon: 0.0002,
}

/** Standard deviation of one feature of a part from surface texture, mm green. */
export const SIGMA_FACE = 0.003

/** Change of size along an axis from one end of the bed to the other, along that axis. */
const BED_GRADIENT: PerAxis = { X: 0.0005, Y: 0.0005, Z: -0.0006 }

/** Scale of the Rayleigh-like flatness, mm, and how much builds differ in it, as a fraction. */
const FLATNESS = { sigma: 0.0125, buildSigma: 0.08 }

/** Scatter of a feature's true place in each direction and its standing offset, mm. */
const POSITION = { sigma: 0.015, x: 0.007, y: -0.004 }

/** What a build brings to all its parts. */
export interface BuildState {
  readonly change: PerAxis
  /** mm. */
  readonly bleed: number
  readonly flatnessFactor: number
}

export function drawBuildState(random: Random): BuildState {
  const common = SIGMA.buildCommon * random.normal()
  const along = () => common + SIGMA.build * random.normal()
  return {
    change: { X: along(), Y: along(), Z: along() },
    bleed: BLEED.mean + BLEED.sigma * random.normal(),
    flatnessFactor: 1 + FLATNESS.buildSigma * random.normal(),
  }
}

/** What sets one part apart from the others of its build, place in the bed not counted. */
export function drawPartChange(random: Random): PerAxis {
  const common = SIGMA.partCommon * random.normal()
  const along = () => common + SIGMA.part * random.normal()
  return { X: along(), Y: along(), Z: along() }
}

/** Change of size from the place in the bed, `at` in mm from its corner. */
export function bedChange(at: { readonly x: number; readonly y: number; readonly z: number }): PerAxis {
  return {
    X: BED_GRADIENT.X * (at.x / BED.x - 0.5),
    Y: BED_GRADIENT.Y * (at.y / BED.y - 0.5),
    Z: BED_GRADIENT.Z * (at.z / BED.z - 0.5),
  }
}

export function addChanges(...changes: readonly PerAxis[]): PerAxis {
  const total = { X: 0, Y: 0, Z: 0 }
  for (const change of changes) for (const axis of AXES) total[axis] += change[axis]
  return total
}

export function times(change: PerAxis, factor: number): PerAxis {
  return { X: change.X * factor, Y: change.Y * factor, Z: change.Z * factor }
}

/** The same change along every axis. */
export function alike(change: number): PerAxis {
  return { X: change, Y: change, Z: change }
}

function axesOf(characteristic: ShopCharacteristic): readonly Axis[] {
  return characteristic.axis === null ? ['X', 'Y'] : [characteristic.axis]
}

/** Green size, mm. `face`: this feature's surface texture, mm. */
export function greenSize(of: ShopCharacteristic, scale: PerAxis, bleed: number, face: number): number {
  let sum = 0
  for (const axis of axesOf(of)) sum += of.nominal * scale[axis] + of.sense * bleed + face
  return sum / axesOf(of).length
}

/** Sintered size, mm. `change`: the sum of all relative changes of size. */
export function sinteredSize(
  of: ShopCharacteristic,
  scale: PerAxis,
  bleed: number,
  face: number,
  change: PerAxis,
): number {
  let sum = 0
  for (const axis of axesOf(of)) {
    const green = of.nominal * scale[axis] + of.sense * bleed + face
    sum += green * (1 - SHRINKAGE[axis]) * (1 + change[axis])
  }
  return sum / axesOf(of).length
}

/** Flatness or position, mm: the length of a random vector, doubled for a position. */
export function drawDeviation(of: ShopCharacteristic, build: BuildState, random: Random): number {
  const a = random.normal()
  const b = random.normal()
  if (of.kind === 'flatness')
    return Math.abs(build.flatnessFactor) * FLATNESS.sigma * Math.sqrt(a * a + b * b)
  const x = POSITION.x + POSITION.sigma * a
  const y = POSITION.y + POSITION.sigma * b
  return 2 * Math.sqrt(x * x + y * y)
}

/** True standard deviation between builds of a linear characteristic, mm, furnace loads included. */
function sigmaBetween(of: ShopCharacteristic): number {
  const axes = axesOf(of)
  const relative = SIGMA.build ** 2 / axes.length + SIGMA.buildCommon ** 2 + SIGMA.load ** 2
  const bleed = of.sense * BLEED.sigma * (1 - SHRINKAGE[axes[0] as Axis])
  return Math.sqrt(of.nominal ** 2 * relative + bleed ** 2)
}

/** True standard deviation inside a build of a linear characteristic, mm, gauge included and trays left out. */
function sigmaWithin(of: ShopCharacteristic): number {
  const axes = axesOf(of)
  let relative = SIGMA.part ** 2 / axes.length + SIGMA.partCommon ** 2
  // The bed's grid is close to evenly filled, so a gradient scatters like a uniform distribution of its width.
  for (const axis of axes) relative += (BED_GRADIENT[axis] / axes.length) ** 2 / 12
  const face = SIGMA_FACE * (1 - SHRINKAGE[axes[0] as Axis])
  return Math.sqrt(of.nominal ** 2 * relative + face ** 2 + GAUGES[of.gauge].sigma ** 2)
}

/** True standard deviation of the mean of `parts` parts of one build, for a linear characteristic, mm. */
export function sigmaOfBuildMean(of: ShopCharacteristic, parts: number): number {
  return Math.sqrt(sigmaBetween(of) ** 2 + sigmaWithin(of) ** 2 / parts)
}
