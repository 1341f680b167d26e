import type { Moments } from '../description/moments.ts'

/** The state in which a part was measured. */
export type Stage = 'green' | 'sintered' | 'finished'

export const STAGES: readonly Stage[] = ['green', 'sintered', 'finished']

/**
 * The finest summary kept: one characteristic, one build, one furnace load, one stage.
 * Cells merge exactly into any coarser subgroup (see `mergeMoments`).
 */
export interface Cell extends Moments {
  readonly characteristicId: number
  readonly buildId: number
  /** Null where the furnace load of the parts is not recorded. */
  readonly furnaceLoadId: number | null
  readonly stage: Stage
}
