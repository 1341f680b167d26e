import { ArgumentError } from '../errors.ts'

/** Innermost groups of one size under one parent, summed up: their variances and covariances are alike. */
export interface GroupClasses {
  /** Place of the parent in the level above; 0 where there is no level above. */
  readonly parent: Int32Array
  /** Values in each group of the class. */
  readonly size: Float64Array
  /** Groups in the class. */
  readonly groups: Float64Array
  /** Mean of the group means, as a deviation from `Nesting.origin`. */
  readonly mean: Float64Array
  /** Sum of squared deviations of the group means from their mean. */
  readonly spread: Float64Array
}

/** Nested groups of values, reduced to what a likelihood needs. Levels run from the outermost inwards. */
export interface Nesting {
  readonly n: number
  /** Mean of all values. */
  readonly origin: number
  /** Number of groups at each level. */
  readonly groups: readonly number[]
  /** For each level but the innermost: each group's parent in the level above; all 0 at the outermost. */
  readonly parents: readonly Int32Array[]
  readonly classes: GroupClasses
  /** Sum over all innermost groups of squared deviations from the group's mean. */
  readonly withinSquares: number
  /** At each level, the variance of plain group means around their parent's: a first guess, somewhat too large. */
  readonly meanVariances: readonly number[]
}

/**
 * Sorts values into nested groups and sums them up.
 *
 * @param values n finite numbers
 * @param levels for each level, n labels; a label names a group within its parent, and may be used again in another
 * @throws ArgumentError where lengths differ, a value or label is not finite, or a level's scatter cannot be told
 *   from the next one's: one group at the outermost level, or no group that holds more than one of the next level
 */
export function nest(values: ArrayLike<number>, levels: readonly ArrayLike<number>[]): Nesting {
  const n = values.length
  if (levels.length === 0) throw new ArgumentError('levels', 'no level of grouping')
  const groupsOf: Int32Array[] = []
  const groups: number[] = []
  const parents: Int32Array[] = []
  for (const [k, labels] of levels.entries()) {
    if (labels.length !== n)
      throw new ArgumentError('levels', `level ${k + 1}: ${labels.length} labels, ${n} values`)
    const above = groupsOf[k - 1] ?? new Int32Array(n)
    const placeOf = pairNumbers()
    const group = new Int32Array(n)
    const parent: number[] = []
    for (let i = 0; i < n; i++) {
      const label = labels[i] as number
      if (!Number.isFinite(label))
        throw new ArgumentError('levels', `level ${k + 1}: label ${i + 1} is not finite`)
      const outer = above[i] as number
      const place = placeOf(outer, label)
      if (place === parent.length) parent.push(outer)
      group[i] = place
    }
    groupsOf.push(group)
    groups.push(parent.length)
    parents.push(Int32Array.from(parent))
    const fewer = k === 0 ? 1 : (groups[k - 1] as number)
    if (parent.length === fewer) {
      throw new ArgumentError(
        'levels',
        k === 0
          ? 'level 1: a single group'
          : `levels ${k} and ${k + 1}: every group holds one of the next level`,
      )
    }
  }
  const innermost = groups.length - 1
  if (groups[innermost] === n)
    throw new ArgumentError('levels', `level ${innermost + 1}: every group holds one value`)
  return summed(values, groupsOf, groups, parents)
}

function summed(
  values: ArrayLike<number>,
  groupsOf: readonly Int32Array[],
  groups: readonly number[],
  parents: readonly Int32Array[],
): Nesting {
  const n = values.length
  const first = values[0] as number
  let sum = 0
  for (let i = 0; i < n; i++) {
    const value = values[i] as number
    if (!Number.isFinite(value)) throw new ArgumentError('values', `value ${i + 1} of ${n} is not finite`)
    sum += value - first
  }
  const origin = first + sum / n

  const means = groupsOf.map((group, k) => groupMeans(values, origin, group, groups[k] as number))
  const meanVariances = means.map(({ mean }, k) => {
    const parent = parents[k] as Int32Array
    const families = k === 0 ? 1 : (groups[k - 1] as number)
    return varianceWithin(mean, parent, families)
  })

  const inner = groups.length - 1
  const { mean, size } = means[inner] as GroupMeans
  const group = groupsOf[inner] as Int32Array
  let withinSquares = 0
  for (let i = 0; i < n; i++) {
    const deviation = (values[i] as number) - origin - (mean[group[i] as number] as number)
    withinSquares += deviation * deviation
  }
  const classes = classesOf(parents[inner] as Int32Array, size, mean)
  return { n, origin, groups, parents: parents.slice(0, -1), classes, withinSquares, meanVariances }
}

interface GroupMeans {
  readonly size: Float64Array
  readonly mean: Float64Array
}

function groupMeans(values: ArrayLike<number>, origin: number, group: Int32Array, count: number): GroupMeans {
  const size = new Float64Array(count)
  const mean = new Float64Array(count)
  for (let i = 0; i < values.length; i++) {
    const g = group[i] as number
    size[g] = (size[g] as number) + 1
    mean[g] = (mean[g] as number) + ((values[i] as number) - origin)
  }
  return { size, mean: mean.map((total, g) => total / (size[g] as number)) }
}

/** Pooled variance of numbers around the mean of their family. */
function varianceWithin(numbers: Float64Array, family: Int32Array, families: number): number {
  const { mean } = groupMeans(numbers, 0, family, families)
  const squares = numbers.reduce((sum, x, i) => sum + (x - (mean[family[i] as number] as number)) ** 2, 0)
  return squares / (numbers.length - families)
}

function classesOf(parent: Int32Array, size: Float64Array, mean: Float64Array): GroupClasses {
  const placeOf = pairNumbers()
  const built: { parent: number; size: number; groups: number; mean: number; spread: number }[] = []
  for (let g = 0; g < size.length; g++) {
    const outer = parent[g] as number
    const values = size[g] as number
    const place = placeOf(outer, values)
    if (place === built.length) built.push({ parent: outer, size: values, groups: 0, mean: 0, spread: 0 })
    const into = built[place] as (typeof built)[number]
    into.groups++
    const delta = (mean[g] as number) - into.mean
    into.mean += delta / into.groups
    into.spread += delta * ((mean[g] as number) - into.mean)
  }
  return {
    parent: Int32Array.from(built, (c) => c.parent),
    size: Float64Array.from(built, (c) => c.size),
    groups: Float64Array.from(built, (c) => c.groups),
    mean: Float64Array.from(built, (c) => c.mean),
    spread: Float64Array.from(built, (c) => c.spread),
  }
}

/** Numbers pairs of numbers from 0 in the order in which they are first asked for. */
function pairNumbers(): (outer: number, inner: number) => number {
  const known = new Map<number, Map<number, number>>()
  let next = 0
  return (outer, inner) => {
    let within = known.get(outer)
    if (within === undefined) {
      within = new Map()
      known.set(outer, within)
    }
    const found = within.get(inner)
    if (found !== undefined) return found
    within.set(inner, next)
    return next++
  }
}
