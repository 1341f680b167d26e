import type { Signal } from '../charts/model.ts'
import type { Axis, Characteristic } from '../domain/characteristic.ts'

/** An estimate with its 95 % confidence limits. */
export interface Estimate {
  readonly value: number
  readonly lower: number
  readonly upper: number
}

/**
 * level: the location moved at once. drift: it moves, or moved, evenly from build to build. spread: the scatter
 * inside builds changed, in one build or from one on. single: one build, or one value in it, stands out.
 */
export type EventKind = 'level' | 'drift' | 'spread' | 'single'

/** A value so far from the others of its build that it alone makes the build's scatter stand out. */
export interface Outlier {
  readonly value: number
  /** Mean of the build's other values, in the characteristic's unit. */
  readonly others: number
  /** Distance from `others` in standard deviations inside builds. */
  readonly sigmas: number
  /**
   * The value with two neighbouring digits exchanged, where that brings it back among the others; null where no
   * exchange does.
   */
  readonly exchanged: number | null
}

/** What one characteristic shows of an event. */
export interface EventMember {
  readonly characteristic: Characteristic
  /** Shift of location in the characteristic's unit; of a drift, all of it up to its last build. Null for scatter. */
  readonly shift: Estimate | null
  /** The same in percent of nominal; null without a nominal above 0. */
  readonly percent: Estimate | null
  /** Standard deviation inside the builds of the event over that of the baseline; null for a shift. */
  readonly scatter: Estimate | null
  readonly outlier: Outlier | null
  /** Signals of this characteristic that the event explains; `points` are positions of builds. */
  readonly signals: readonly Signal[]
}

/** The series that an event was seen in, all other events taken off it. Arrays run from position `start` on. */
export interface EventTrace {
  readonly start: number
  /** Percent of nominal for several characteristics, the unit of the one, or deviates of scatter. */
  readonly values: Float64Array
  /** 0 where there is no value. */
  readonly weights: Float64Array
}

/** Signals of one or several characteristics that began together. Positions are those of builds on the timeline. */
export interface ProcessEvent {
  readonly kind: EventKind
  /** The axis that the members share; null where they do not, or have none. */
  readonly axis: Axis | null
  /** In the order of the drawing; never empty. */
  readonly members: readonly EventMember[]
  /** Shift common to the members in percent of nominal; null where they have none in common, or for scatter. */
  readonly percent: Estimate | null
  /** The change point: first build that shows the event, by maximum likelihood. */
  readonly from: number
  /** Every position that the 95 % confidence set of the change point holds, ascending; `from` is one of them. */
  readonly plausible: readonly number[]
  /** Last build that shows it. */
  readonly to: number
  /** Whether it still stands at the end of the record. */
  readonly standing: boolean
  /** Whether a jump and a drift can be told apart here, with 95 % confidence; true for what is neither. */
  readonly sureOfForm: boolean
  /** Value of a condition that the event is confined to, such as one furnace; null where it is not. */
  readonly confinedTo: { readonly condition: string; readonly value: string } | null
  readonly trace: EventTrace
}

/** A signal of one characteristic that amounts to no event; `points` are positions of builds. */
export interface BareSignal {
  readonly characteristic: Characteristic
  readonly signal: Signal
}
