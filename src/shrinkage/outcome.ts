import type { Cell } from '../domain/cell.ts'
import type { Characteristic } from '../domain/characteristic.ts'
import { type Estimate, estimator } from './estimate.ts'
import type { Prediction } from './predict.ts'

/** What came of a prediction. Lengths in the characteristic's unit. */
export interface Outcome {
  readonly characteristic: Characteristic
  readonly predicted: number
  /** Mean of the builds since the change, each counted once. */
  readonly observed: number
  readonly builds: number
  readonly parts: number
  /** Observed less predicted, and where it would lie if the prediction held. */
  readonly difference: number
  readonly allowed: Estimate
  /** Whether the difference is within what was allowed. */
  readonly held: boolean
}

/**
 * A prediction held against the builds printed since. Allowed is the doubt of the prediction, the difference of builds
 * and the scatter of the parts measured.
 *
 * @param cells cells of the builds printed with the new factors; other stages than sintered are passed over
 * @param confidence of the allowance
 */
export function compareOutcome(
  predictions: readonly Prediction[],
  cells: readonly Cell[],
  confidence = 0.95,
): Outcome[] {
  return predictions.flatMap(({ characteristic, changed }) => {
    const builds = new Map<number, { n: number; sum: number }>()
    for (const cell of cells) {
      if (cell.characteristicId !== characteristic.id || cell.stage !== 'sintered') continue
      const known = builds.get(cell.buildId) ?? { n: 0, sum: 0 }
      known.n += cell.n
      known.sum += cell.n * cell.mean
      builds.set(cell.buildId, known)
    }
    if (builds.size === 0) return []
    let observed = 0
    let parts = 0
    let variance = changed.mean.standardError ** 2
    for (const { n, sum } of builds.values()) {
      observed += sum / n / builds.size
      parts += n
      variance += (changed.sigmaBetween ** 2 + changed.sigmaWithin ** 2 / n) / builds.size ** 2
    }
    const difference = observed - changed.mean.value
    const allowed = estimator(changed.mean.df, confidence)(0, variance)
    return [
      {
        characteristic,
        predicted: changed.mean.value,
        observed,
        builds: builds.size,
        parts,
        difference,
        allowed,
        held: Math.abs(difference) <= allowed.upper,
      },
    ]
  })
}
