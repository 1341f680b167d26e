import { studentUpper, studentUpperQuantile } from '../distributions/student.ts'
import { ArgumentError } from '../errors.ts'
import { ALLOWANCE, CONFIDENCE } from './estimate.ts'
import type { Estimate } from './event.ts'

/** One value with where its part stood: on which place (tray) of which block (furnace). */
export interface PlacedValue {
  readonly characteristicId: number
  /** Nominal of the characteristic, above 0, in the unit of the value. */
  readonly nominal: number
  readonly value: number
  /** The part, unique among all builds. */
  readonly part: string
  /** Position of the part's build on the timeline. */
  readonly build: number
  readonly block: string
  readonly place: string
}

/** A place whose parts come out otherwise than those beside them. */
export interface PlaceEffect {
  readonly block: string
  readonly place: string
  /** Shift of its parts against the others of the same build and block, in percent of nominal, with 95 % limits. */
  readonly percent: Estimate
  /** First build that shows it, by maximum likelihood; the first of all where it always did. */
  readonly from: number
  /** All builds that the 95 % confidence set of the beginning holds, ascending. */
  readonly plausible: readonly number[]
  /** Parts on the place since. */
  readonly parts: number
  /** Chance of an effect as clear on any place and from any build, where there is none (Bonferroni's inequality). */
  readonly p: number
}

/** Parts of one build in one block. */
interface Group {
  readonly build: number
  readonly places: readonly string[]
  /** Mean deviation of each part over its characteristics, in percent of nominal, centred in the group. */
  readonly deviations: Float64Array
}

/**
 * Places whose parts come out smaller or larger than the parts sintered with them.
 *
 * Every value is taken as its deviation from the mean of its characteristic in the same build and block, in percent of
 * nominal, so that whatever moves a whole build drops out. The deviations of one part go together and are averaged to
 * one number a part. A place's effect is that of least squares of these on "stands there", centred in each build and
 * block (the estimate within groups), with the scatter of parts inside groups. It may begin at any build; the
 * beginning is found by maximum likelihood, with the confidence set of `changePoint`. The clearest place is taken off
 * before the next is looked for, since one hot tray makes all others of its furnace look cold.
 *
 * @param values of sizes only: deviations of form do not scale with a nominal. Groups of fewer than two parts say nothing
 * @param level chance that any place is named where none differs
 * @returns the places named, clearest first
 * @throws ArgumentError where a nominal is not above 0, a value is not finite, or the level is out of range
 */
export function comparePlaces(values: readonly PlacedValue[], level = 0.05): PlaceEffect[] {
  if (!(level > 0 && level < 1)) throw new ArgumentError('level', `${level} is not between 0 and 1`)
  const blocks = groupsByBlock(values)
  const places = [...blocks].flatMap(([block, groups]) =>
    [...new Set(groups.flatMap((group) => group.places))].map((place) => ({ block, place })),
  )
  const found: PlaceEffect[] = []
  for (;;) {
    const rest = places.filter(
      ({ block, place }) => !found.some((effect) => effect.block === block && effect.place === place),
    )
    let best: PlaceEffect | null = null
    for (const { block, place } of rest) {
      const effect = effectOf(blocks.get(block) as Group[], block, place, places.length)
      if (effect !== null && (best === null || effect.p < best.p)) best = effect
    }
    if (best === null || best.p > level) return found
    found.push(best)
    takeOff(blocks.get(best.block) as Group[], best)
  }
}

function groupsByBlock(values: readonly PlacedValue[]): Map<string, Group[]> {
  const cells = new Map<string, PlacedValue[]>()
  for (const [i, item] of values.entries()) {
    if (!(item.nominal > 0)) throw new ArgumentError('values', `value ${i + 1} has nominal ${item.nominal}`)
    if (!Number.isFinite(item.value)) throw new ArgumentError('values', `value ${i + 1} is not finite`)
    const key = JSON.stringify([item.block, item.build, item.characteristicId])
    const cell = cells.get(key)
    if (cell === undefined) cells.set(key, [item])
    else cell.push(item)
  }
  interface Part {
    readonly place: string
    sum: number
    n: number
  }
  const byBlock = new Map<string, Map<number, Map<string, Part>>>()
  for (const cell of cells.values()) {
    const origin = (cell[0] as PlacedValue).value
    const mean = origin + cell.reduce((sum, { value }) => sum + value - origin, 0) / cell.length
    for (const { block, build, part, place, value, nominal } of cell) {
      const builds = byBlock.get(block) ?? new Map<number, Map<string, Part>>()
      byBlock.set(block, builds)
      const parts = builds.get(build) ?? new Map<string, Part>()
      builds.set(build, parts)
      const known = parts.get(part) ?? { place, sum: 0, n: 0 }
      parts.set(part, known)
      known.sum += (100 * (value - mean)) / nominal
      known.n++
    }
  }
  return new Map(
    [...byBlock].map(([block, builds]) => [
      block,
      [...builds]
        .filter(([, parts]) => parts.size >= 2)
        .sort(([a], [b]) => a - b)
        .map(([build, parts]): Group => {
          const list = [...parts.values()]
          return {
            build,
            places: list.map(({ place }) => place),
            deviations: centred(Float64Array.from(list, ({ sum, n }) => sum / n)),
          }
        }),
    ]),
  )
}

function centred(values: Float64Array): Float64Array {
  let sum = 0
  for (const value of values) sum += value
  const mean = sum / values.length
  return values.map((value) => value - mean)
}

/** What each group says about a place: Σ d r and Σ d², d being the centred indicator of the place. */
function contributions(groups: readonly Group[], place: string) {
  return groups.map(({ build, places, deviations }) => {
    const on = places.filter((own) => own === place).length
    const share = on / places.length
    let product = 0
    for (const [i, own] of places.entries()) {
      product += ((own === place ? 1 : 0) - share) * (deviations[i] as number)
    }
    return { build, on, product, information: on * (1 - share) }
  })
}

function effectOf(
  groups: readonly Group[],
  block: string,
  place: string,
  places: number,
): PlaceEffect | null {
  const each = contributions(groups, place)
  let total = 0
  let parts = 0
  for (const { deviations } of groups) {
    for (const value of deviations) total += value * value
    parts += deviations.length
  }
  const df = parts - groups.length - 2
  if (df < 1) return null
  // Gains of an effect that begins with each group, from the last one back.
  const from = new Array<{ size: number; information: number; gain: number; on: number }>(each.length)
  let product = 0
  let information = 0
  let on = 0
  for (let i = each.length - 1; i >= 0; i--) {
    const group = each[i] as (typeof each)[number]
    product += group.product
    information += group.information
    on += group.on
    const size = information > 0 ? product / information : 0
    from[i] = { size, information, gain: size * product, on }
  }
  const best = from.reduce((most, item, i) => (item.gain > (from[most]?.gain ?? 0) ? i : most), 0)
  const { size, gain, on: partsOn, information: known } = from[best] as (typeof from)[number]
  if (gain === 0) return null
  const variance = Math.max(0, total - gain) / df
  const error = Math.sqrt(variance / known)
  const t = studentUpperQuantile((1 - CONFIDENCE) / 2, df)
  const least = ALLOWANCE * variance
  return {
    block,
    place,
    percent: { value: size, lower: size - t * error, upper: size + t * error },
    from: (each[best] as (typeof each)[number]).build,
    plausible: each.flatMap(({ build }, i) => (gain - (from[i]?.gain ?? 0) <= least ? [build] : [])),
    parts: partsOn,
    p: Math.min(1, 2 * studentUpper(Math.abs(size) / error, df) * places * each.length),
  }
}

function takeOff(groups: Group[], { place, from, percent }: PlaceEffect): void {
  for (const [i, group] of groups.entries()) {
    if (group.build < from) continue
    const shifted = group.deviations.map((value, j) =>
      group.places[j] === place ? value - percent.value : value,
    )
    groups[i] = { ...group, deviations: centred(shifted) }
  }
}
