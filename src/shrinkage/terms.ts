import { type Axis, type Characteristic, OWN_TOLERANCE } from '../domain/characteristic.ts'

export const AXES = ['X', 'Y', 'Z'] as const satisfies readonly Axis[]

/** One figure for each axis. */
export type PerAxis<T> = Readonly<Record<Axis, T>>

/**
 * How the offset that does not scale acts on a size: +1 an outer size, which binder bleed enlarges; −1 an inner one;
 * 0 a distance between middles, which it leaves alone.
 */
export type Sense = -1 | 0 | 1

/**
 * How one characteristic follows from the model of a size:
 *
 *   sintered = Σ over axes of weight × (nominal × factor × (1 − shrinkage) + sense × offset)
 */
export interface SizeTerms {
  readonly characteristic: Characteristic
  /** The part number and revision that it is measured on: characteristics of one group share their parts. */
  readonly partGroup: number
  /** Share of each axis; they add up to 1. */
  readonly weights: PerAxis<number>
  readonly sense: Sense
  /** Whether the sense was told, not read from the name. */
  readonly senseTold: boolean
  /** Whether shrinkage and offset are fitted to it; where not, it is predicted from those of the others. */
  readonly counts: boolean
}

/** What a size follows: one axis, the mean of X and Y, or none at all. */
export type Along = Axis | 'XY' | 'none'

/** What is told about a characteristic in place of what is taken by default. */
export interface ToldTerms {
  readonly along?: Along
  readonly sense?: Sense
  readonly counts?: boolean
}

const LINEAR_KINDS: ReadonlySet<string> = new Set(['length', 'diameter', 'thickness'])
const INNER = /\b(bore|hole|slot|opening|gap|groove|pocket|recess|inner|inside|internal)\b/i
const MIDDLES = /\b(spacing|pitch|distance|cent(re|er)s?|reach|step)\b/i

/**
 * The terms of a characteristic: its axis, or for diameters and walls without one the mean of X and Y, the plane of
 * the layers; its sense as told, or else read from its name, which should be shown to be confirmed.
 *
 * @returns null where the kind does not follow shrinkage (angles, and deviations of form and place), or is told not to
 */
export function termsOf(
  characteristic: Characteristic,
  partGroup: number,
  told: ToldTerms = {},
): SizeTerms | null {
  const { axis, name } = characteristic
  const along = told.along ?? axis ?? 'XY'
  if (!followsShrinkage(characteristic) || along === 'none') return null
  return {
    characteristic,
    partGroup,
    weights: along === 'XY' ? { X: 0.5, Y: 0.5, Z: 0 } : { X: 0, Y: 0, Z: 0, [along]: 1 },
    sense: told.sense ?? senseOfName(name),
    senseTold: told.sense !== undefined,
    counts: told.counts ?? true,
  }
}

/** Whether its values are a size that the furnace shrinks: multiples of a part's own tolerance are none. */
export function followsShrinkage({ kind, unit }: Characteristic): boolean {
  return LINEAR_KINDS.has(kind) && unit !== 'deg' && unit !== OWN_TOLERANCE
}

function senseOfName(name: string): Sense {
  if (MIDDLES.test(name)) return 0
  return INNER.test(name) ? -1 : 1
}

/** Millimetres in one unit of the characteristic. */
export function millimetres({ unit }: Characteristic): number {
  return unit === 'in' ? 25.4 : unit === 'um' ? 0.001 : 1
}
