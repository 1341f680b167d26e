import { studentUpperQuantile } from '../distributions/student.ts'
import { ArgumentError } from '../errors.ts'
import { invert } from '../shrinkage/small-systems.ts'

/** Values of one group in one block, summed up as deviations from any origin that the block shares. */
export interface GroupSum {
  readonly block: number
  /** Groups are numbered from 0. */
  readonly group: number
  readonly n: number
  readonly sum: number
  readonly squares: number
}

/** How far a group lies from the mean of the groups that it can be compared with, in the unit of the values. */
export interface GroupEffect {
  readonly group: number
  readonly n: number
  readonly value: number
  readonly lower: number
  readonly upper: number
  /** The interval leaves out zero. */
  readonly surely: boolean
}

export interface GroupEffects {
  /** Parallel to the groups; null where a group shares no block with another, even through others. */
  readonly effects: readonly (GroupEffect | null)[]
  /** Standard deviation inside groups and blocks. */
  readonly sigma: number
  readonly df: number
}

/**
 * Effects of groups beside those of blocks, by least squares: blocks are taken off, whichever groups they hold, so that
 * a group that stood in low blocks is not thought low. Effects of groups that blocks link with one another add to zero.
 *
 * Source: the intrablock analysis of F. Yates, Annals of Eugenics 10 (1940), 317–325; the same as a linear model of
 * additive blocks and groups.
 *
 * @param groups how many there are
 * @param level chance that an interval misses, in all: divided evenly among the groups (Bonferroni's inequality)
 * @returns null where nothing is left to tell scatter from
 * @throws ArgumentError where a sum names a group that is not there, or the level is out of range
 */
export function groupEffects(sums: readonly GroupSum[], groups: number, level: number): GroupEffects | null {
  if (!(level > 0 && level < 1)) throw new ArgumentError('level', `${level} is not between 0 and 1`)
  for (const { group } of sums) {
    if (!(Number.isInteger(group) && group >= 0 && group < groups))
      throw new ArgumentError('sums', `group ${group} is not one of ${groups}`)
  }
  const blocks = gathered(sums, (sum) => sum.block)
  const information = new Float64Array(groups * groups)
  const total = new Float64Array(groups)
  const counts = new Float64Array(groups)
  const link = links(groups)
  let values = 0
  let squares = 0
  for (const block of blocks.values()) {
    const n = block.reduce((count, each) => count + each.n, 0)
    const sum = block.reduce((all, each) => all + each.sum, 0)
    values += n
    squares += block.reduce((all, each) => all + each.squares, 0) - (sum * sum) / n
    for (const a of block) {
      counts[a.group] = (counts[a.group] as number) + a.n
      total[a.group] = (total[a.group] as number) + a.sum - (a.n * sum) / n
      const diagonal = a.group * groups + a.group
      information[diagonal] = (information[diagonal] as number) + a.n
      for (const b of block) {
        const at = a.group * groups + b.group
        information[at] = (information[at] as number) - (a.n * b.n) / n
        link.join(a.group, b.group)
      }
    }
  }
  const present = Array.from({ length: groups }, (_, i) => i).filter((i) => (counts[i] as number) > 0)
  const members = gathered(present, link.root)
  const solved = new Map<number, { value: number; variance: number }>()
  let explained = 0
  for (const set of members.values()) {
    if (set.length < 2) continue
    const k = set.length
    // Adding 1/k to every entry makes the matrix regular and leaves what adds to zero as it is.
    const regular = Float64Array.from(
      { length: k * k },
      (_, at) =>
        (information[(set[Math.floor(at / k)] as number) * groups + (set[at % k] as number)] as number) +
        1 / k,
    )
    const inverse = invert(regular, k)
    if (inverse === null) continue
    for (const [i, group] of set.entries()) {
      let value = 0
      for (const [j, other] of set.entries())
        value += (inverse[i * k + j] as number) * (total[other] as number)
      solved.set(group, { value, variance: (inverse[i * k + i] as number) - 1 / k })
      explained += value * (total[group] as number)
    }
  }
  const df = values - blocks.size - (solved.size - countSets(members))
  if (df < 1) return null
  const sigma = Math.sqrt(Math.max(0, squares - explained) / df)
  const t = solved.size === 0 ? 0 : studentUpperQuantile(level / solved.size / 2, df)
  const effects = Array.from({ length: groups }, (_, group) => {
    const found = solved.get(group)
    if (found === undefined) return null
    const half = t * sigma * Math.sqrt(found.variance)
    const { value } = found
    return {
      group,
      n: counts[group] as number,
      value,
      lower: value - half,
      upper: value + half,
      surely: Math.abs(value) > half,
    }
  })
  return { effects, sigma, df }
}

function countSets(members: ReadonlyMap<number, readonly number[]>): number {
  return [...members.values()].filter((set) => set.length > 1).length
}

function gathered<T>(items: readonly T[], keyOf: (item: T) => number): Map<number, T[]> {
  const sets = new Map<number, T[]>()
  for (const item of items) {
    const key = keyOf(item)
    const set = sets.get(key)
    if (set === undefined) sets.set(key, [item])
    else set.push(item)
  }
  return sets
}

/** Which groups hang together. */
function links(size: number) {
  const parent = Int32Array.from({ length: size }, (_, i) => i)
  const root = (i: number): number => {
    let at = i
    while (parent[at] !== at) at = parent[at] as number
    return at
  }
  return {
    root,
    join(a: number, b: number) {
      parent[root(a)] = root(b)
    },
  }
}
