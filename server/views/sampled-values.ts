import type { ValuesByBuild } from '../store/single-values.ts'

/** Values that a distribution is chosen and fitted on at most: enough to tell a shape, and soon done. */
const MOST_CHOSEN_ON = 1000

/** Odd, and near the golden section of 2^16: neighbouring parts are scattered far apart, whatever pattern they lie in. */
const SCATTER = 40_503
const SCATTERED = 65_536

/** The values, or a sample of them where there are very many: the same parts each time. */
export function sampledValues({ value, build, part }: ValuesByBuild): Pick<ValuesByBuild, 'value' | 'build'> {
  if (value.length <= MOST_CHOSEN_ON) return { value, build }
  const below = (MOST_CHOSEN_ON / value.length) * SCATTERED
  const taken: number[] = []
  for (let i = 0; i < part.length; i++) {
    if (((part[i] as number) * SCATTER) % SCATTERED < below) taken.push(i)
  }
  return {
    value: Float64Array.from(taken, (i) => value[i] as number),
    build: Int32Array.from(taken, (i) => build[i] as number),
  }
}
