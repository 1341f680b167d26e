import type { ChartGround, MeasuredPart } from '../../server/contract/typing.ts'
import { buildChart } from '../../src/charts/chart.ts'
import type { ChartModel } from '../../src/charts/model.ts'
import { countingOf, type Repeat, type RepeatChoice } from '../../src/charts/repeats.ts'
import { type Moments, mergeMoments, momentsOf, momentsWithout } from '../../src/description/moments.ts'
import type { Cell } from '../../src/domain/cell.ts'

/** Identity of a build that is in the making, and not on record. */
const IN_THE_MAKING = -1

export interface Provisional {
  readonly chart: ChartModel
  readonly buildNames: readonly string[]
  /** Where each subgroup stands on the timeline. */
  readonly positions: readonly number[]
}

/** A value typed of one characteristic. */
export interface TypedValue {
  readonly serial: string
  readonly value: number
  /** Seconds since 1970-01-01 UTC. */
  readonly measuredAt: number
}

/**
 * The chart as it would be with these values in: the same model from the same cells, with one more of the values typed.
 * Of a part that was measured before, what counts is what the study says of repeats.
 *
 * @param build its name; it stands last on the timeline where it is not on it
 * @param earlier values on record of the characteristic, by serial number
 */
export function provisionalChart(
  ground: ChartGround,
  build: string,
  typed: readonly TypedValue[],
  earlier: ReadonlyMap<string, readonly Repeat[]> = new Map(),
): Provisional {
  const { study } = ground
  const known = ground.builds.find((each) => each.name === build)
  const { added, removed } = countedAnew(typed, earlier, study.repeats)
  const builds: readonly { readonly id: number; readonly name: string }[] =
    known === undefined && added.length > 0
      ? [...ground.builds, { id: IN_THE_MAKING, name: build }]
      : ground.builds
  const buildId = known?.id ?? IN_THE_MAKING
  const own = ground.cells.filter((cell) => cell.buildId === buildId)
  const moments = withChanges(own, added, removed)
  const cells =
    added.length + removed.length === 0
      ? ground.cells
      : [
          ...ground.cells.filter((cell) => cell.buildId !== buildId),
          ...(moments === null
            ? []
            : [{ characteristicId: 0, buildId, furnaceLoadId: null, stage: study.stage, ...moments }]),
        ]
  const chart = buildChart(study, cells, builds)
  const places = new Map(builds.map(({ id }, i) => [id, i]))
  return {
    chart,
    buildNames: builds.map(({ name }) => name),
    positions: chart.subgroups.map(({ buildId }) => places.get(buildId) as number),
  }
}

/** The repeats on record of one characteristic that count, by part. */
export function earlierValues(
  parts: ReadonlyMap<string, MeasuredPart>,
  designator: string,
): ReadonlyMap<string, readonly Repeat[]> {
  return new Map(
    [...parts].map(([serial, { values }]) => [
      serial,
      values.flatMap((each) =>
        each.designator === designator && !each.isLeftOut ? [{ ...each, value: each.judged }] : [],
      ),
    ]),
  )
}

/** Which values count that did not before, and which do not any more. */
function countedAnew(
  typed: readonly TypedValue[],
  earlier: ReadonlyMap<string, readonly Repeat[]>,
  choice: RepeatChoice,
): { readonly added: readonly number[]; readonly removed: readonly number[] } {
  const added: number[] = []
  const removed: number[] = []
  const byPart = new Map<string, TypedValue[]>()
  for (const each of typed) byPart.set(each.serial, [...(byPart.get(each.serial) ?? []), each])
  for (const [serial, values] of byPart) {
    const before = serial === '' ? [] : (earlier.get(serial) ?? [])
    const repeats = values.map(({ value, measuredAt }, i) => ({
      value,
      measuredAt,
      replicate: before.length + i + 1,
    }))
    // Values of parts without a serial number yet are of nobody knows which part: each counts.
    const after =
      serial === '' ? values.map(({ value }) => value) : countingOf([...before, ...repeats], choice)
    const counted = countingOf(before, choice)
    const still = [...counted]
    for (const value of after) {
      const at = still.indexOf(value)
      if (at < 0) added.push(value)
      else still.splice(at, 1)
    }
    removed.push(...still)
  }
  return { added, removed }
}

function withChanges(
  cells: readonly Cell[],
  added: readonly number[],
  removed: readonly number[],
): Moments | null {
  let all: Moments | null = null
  for (const cell of cells) all = all === null ? cell : mergeMoments(all, cell)
  if (added.length > 0) all = all === null ? momentsOf(added) : mergeMoments(all, momentsOf(added))
  if (removed.length === 0 || all === null) return all
  return all.n > removed.length ? momentsWithout(all, momentsOf(removed)) : null
}
