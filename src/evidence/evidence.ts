import { digitsAgreed, digitsPublished } from './agreement.ts'
import { CHARTS } from './charts.ts'
import type { Check } from './check.ts'
import { CONSTANTS } from './constants.ts'
import { ESTIMATES } from './estimates.ts'
import { GAUGES } from './gauges.ts'
import { QUANTILES } from './quantiles.ts'
import { REFERENCE_SETS } from './reference-sets.ts'
import { RUN_LENGTHS } from './run-lengths.ts'

/** Every published figure that the core is checked against where it runs. */
export const CHECKS: readonly Check[] = [
  ...REFERENCE_SETS,
  ...CONSTANTS,
  ...CHARTS,
  ...RUN_LENGTHS,
  ...ESTIMATES,
  ...QUANTILES,
  ...GAUGES,
]

/** A check with what came of it. */
export interface CheckResult extends Omit<Check, 'compute'> {
  readonly computed: number
  /** Digits that the computed and the published figure share, at most those published. */
  readonly digits: number
  /** Digits asked for: all that are published, or the stated limit. */
  readonly expectedDigits: number
  readonly agrees: boolean
  /** Whether every published digit agrees. */
  readonly complete: boolean
}

/** Recomputes all checks, which takes about a second, or those given. */
export function evidence(checks: readonly Check[] = CHECKS): CheckResult[] {
  return checks.map(({ compute, ...check }) => {
    const computed = compute()
    const published = digitsPublished(check.published, check.exact)
    const digits = digitsAgreed(computed, check.published, check.exact)
    const expectedDigits = check.limit?.digits ?? published
    return {
      ...check,
      computed,
      digits,
      expectedDigits,
      agrees: digits >= expectedDigits,
      complete: digits === published,
    }
  })
}
