import { bindingLimits } from './quantile-method.ts'
import type { CapabilitySummary } from './summary.ts'

/** Why a characteristic has no index to be judged by. */
export type NotJudged = 'no limits' | 'no spread' | 'no Cpk' | 'too few values'

/** @returns null where it is judged */
export function notJudged({
  characteristic,
  judged,
  requirement,
  sigmaOverall,
  shape,
}: Pick<
  CapabilitySummary,
  'characteristic' | 'judged' | 'requirement' | 'sigmaOverall' | 'shape'
>): NotJudged | null {
  if (judged !== null) return null
  const { lower, upper } = bindingLimits(characteristic, characteristic.kind)
  if (lower === null && upper === null) return 'no limits'
  if (sigmaOverall === null) return 'no spread'
  // Where values are not normal, Cpk exists in control only.
  return requirement.index === 'Cpk' && (shape?.byQuantiles ?? null) !== null ? 'no Cpk' : 'too few values'
}
