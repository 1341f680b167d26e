import type { ChartModel, Signal } from '../charts/model.ts'
import { type Characteristic, KINDS_WITH_FLOOR } from '../domain/characteristic.ts'
import {
  locationSeries,
  pooledSeries,
  type Quantity,
  type Series,
  spreadSeries,
  type TimedChart,
  timedChart,
} from './series.ts'

/** One characteristic with its chart. */
export interface ChartedCharacteristic {
  readonly characteristic: Characteristic
  readonly chart: ChartModel
}

/** What there is to look through, laid out on the timeline. */
export interface SearchInput {
  readonly charted: readonly ChartedCharacteristic[]
  readonly timed: readonly TimedChart[]
  /** Signals of each characteristic, their points as positions on the timeline. */
  readonly signals: readonly (readonly Signal[])[]
  /** Positions that phases begin at, of any characteristic, ascending; the first is 0. */
  readonly boundaries: readonly number[]
  readonly length: number
}

export function searchInput(
  charted: readonly ChartedCharacteristic[],
  buildIds: readonly number[],
): SearchInput {
  const place = new Map(buildIds.map((id, i) => [id, i]))
  const timed = charted.map(({ chart }) => timedChart(chart, place))
  const signals = timed.map(({ chart, positions }) =>
    positions.every((position, i) => position === i)
      ? chart.signals
      : chart.signals.map((signal) => ({
          ...signal,
          points: signal.points.map((i) => positions[i] as number),
        })),
  )
  const boundaries = [...new Set([0, ...timed.flatMap(({ phaseStarts }) => phaseStarts)])].sort(
    (a, b) => a - b,
  )
  return { charted, timed, signals, boundaries, length: buildIds.length }
}

/** Sizes that shrink in proportion to their nominal. */
export function isSize({ nominal, kind }: Characteristic): boolean {
  return nominal !== null && nominal > 0 && kind !== 'angle' && !KINDS_WITH_FLOOR.has(kind)
}

/** Everything to look through in one phase: common series and single ones. */
export interface PhaseSeries {
  readonly pooled: readonly Series[]
  readonly singles: readonly Series[]
}

/** The series of the phase that begins at `start`, the `index`-th of all. */
export function seriesOfPhase(
  { charted, timed, boundaries, length }: SearchInput,
  quantity: Quantity,
  start: number,
  index: number,
): PhaseSeries {
  const end = boundaries[index + 1] ?? length
  const make = quantity === 'location' ? locationSeries : spreadSeries
  const singles = timed.map((item, member) => make(item, member, start, end)).filter(({ n }) => n > 0)
  const nominals = charted.map(({ characteristic }) => characteristic.nominal)
  const sizes = singles.filter((single) => isSize(characteristicOf(charted, single)))
  const groups = quantity === 'location' ? [...axisGroups(charted, sizes), sizes] : [sizes]
  const pooled = groups
    .filter(
      (group, i) =>
        group.length >= 2 && groups.findIndex((g) => g.length === group.length && g[0] === group[0]) === i,
    )
    .map((group) => pooledSeries(group, nominals))
  return { pooled, singles }
}

export function characteristicOf(charted: readonly ChartedCharacteristic[], single: Series): Characteristic {
  return (charted[single.members[0] as number] as ChartedCharacteristic).characteristic
}

function axisGroups(charted: readonly ChartedCharacteristic[], sizes: readonly Series[]): Series[][] {
  return (['X', 'Y', 'Z'] as const).map((axis) =>
    sizes.filter((single) => characteristicOf(charted, single).axis === axis),
  )
}
