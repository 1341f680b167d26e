import { type GroupSum, groupEffects } from '../variation/group-effects.ts'
import type { SplitGroup } from './model.ts'

/**
 * Groups as they stand beside one another.
 *
 * @param sums groups by their place among the names
 * @param level chance that an interval misses
 */
export function splitGroups(
  names: readonly string[],
  sums: readonly GroupSum[],
  level: number,
): SplitGroup[] {
  const found = groupEffects(sums, names.length, level)
  return names.map((name, i) => {
    const effect = found?.effects[i] ?? null
    const n = sums.reduce((count, sum) => count + (sum.group === i ? sum.n : 0), 0)
    return effect === null
      ? { name, n, value: null, lower: null, upper: null, surely: false }
      : { name, n, value: effect.value, lower: effect.lower, upper: effect.upper, surely: effect.surely }
  })
}
