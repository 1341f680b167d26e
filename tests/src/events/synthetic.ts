import { buildChart } from '../../../src/charts/chart.ts'
import { DEFAULT_STUDY, type Study } from '../../../src/charts/study.ts'
import { momentsOf } from '../../../src/description/moments.ts'
import type { Axis, Characteristic } from '../../../src/domain/characteristic.ts'
import type { BuildConditions } from '../../../src/events/build-conditions.ts'
import type { EventsInput } from '../../../src/events/detect-events.ts'
import type { ChartedCharacteristic } from '../../../src/events/search-input.ts'
import { normalSource } from '../run-length/simulation.ts'

/** Shift of a characteristic at a build, in standard deviations of the builds. */
export type Shift = (axis: Axis | null, build: number, characteristic: number) => number

export interface Synthetic {
  readonly seed: number
  readonly builds?: number
  readonly axes?: readonly (Axis | null)[]
  readonly shift?: Shift
  /** Factor on the scatter inside a build. */
  readonly scatter?: (build: number, characteristic: number) => number
  readonly study?: Study
  /** Changes of the recorded conditions by build. */
  readonly conditions?: (build: number) => Partial<BuildConditions['build']> & { readonly furnace?: string }
}

/** Standard deviation of builds along an axis, as a fraction of the size; and of parts, and of each feature. */
export const BUILD_SIGMA = 0.0005
const PART_SIGMA = 0.0004
const PARTS = 10

export function buildRecord(
  i: number,
  conditions: Partial<BuildConditions['build']> & { readonly furnace?: string } = {},
): BuildConditions {
  const { furnace, ...changes } = conditions
  const build = {
    id: i + 1,
    name: String(100 + i),
    printedAt: 1_750_000_000 + 86_400 * i,
    printer: 'P1',
    buildBox: null,
    powderLot: 'A',
    powderReuse: null,
    scale: { x: 1.18, y: 1.19, z: 1.2 },
    conditions: {},
    ...changes,
  }
  if (furnace === undefined) return { build, loads: [], gauges: [] }
  const load = {
    id: i + 1,
    name: `L${i}`,
    sinteredAt: null,
    furnace,
    profile: null,
    atmosphere: null,
    conditions: {},
  }
  return { build, loads: [{ load, share: 1 }], gauges: [] }
}

/**
 * Charts of characteristics whose builds scatter along X, Y and Z, members of an axis sharing it; a size without an
 * axis takes the mean of X and Y.
 */
export function synthetic({
  seed,
  builds: count = 60,
  axes = ['X', 'X', 'Y', 'Y', 'Z', 'Z', null],
  shift = () => 0,
  scatter = () => 1,
  study = DEFAULT_STUDY,
  conditions = () => ({}),
}: Synthetic): EventsInput & { readonly charted: readonly ChartedCharacteristic[] } {
  const normal = normalSource(seed)
  const builds = Array.from({ length: count }, (_, i) => buildRecord(i, conditions(i)))
  const states = builds.map(() => ({ X: normal(), Y: normal(), Z: normal() }))
  const charted = axes.map((axis, c) => {
    const nominal = 10 + 3 * c
    const characteristic: Characteristic = {
      id: c + 1,
      designator: String(c + 1),
      name: axis === null ? 'bore' : 'length',
      kind: axis === null ? 'diameter' : 'length',
      nominal,
      lower: nominal - 0.1,
      upper: nominal + 0.1,
      unit: 'mm',
      axis,
    }
    const cells = builds.map(({ build }, i) => {
      const along = (a: Axis) => (states[i]?.[a] ?? 0) + shift(a, i, c)
      const state = axis === null ? (along('X') + along('Y')) / 2 : along(axis)
      const parts = Array.from(
        { length: PARTS },
        () => nominal * (1 + BUILD_SIGMA * state + PART_SIGMA * scatter(i, c) * normal()),
      )
      return {
        ...momentsOf(parts),
        characteristicId: c + 1,
        buildId: build.id,
        furnaceLoadId: null,
        stage: 'sintered' as const,
      }
    })
    return {
      characteristic,
      chart: buildChart(
        study,
        cells,
        builds.map(({ build }) => build),
      ),
    }
  })
  return { charted, builds }
}
