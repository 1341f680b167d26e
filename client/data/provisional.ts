import type { ChartGround } from '../../server/contract/typing.ts'
import { buildChart } from '../../src/charts/chart.ts'
import type { ChartModel } from '../../src/charts/model.ts'
import { momentsOf } from '../../src/description/moments.ts'

/** Identity of a build that is in the making, and not on record. */
const IN_THE_MAKING = -1

export interface Provisional {
  readonly chart: ChartModel
  readonly buildNames: readonly string[]
  /** Where each subgroup stands on the timeline. */
  readonly positions: readonly number[]
}

/**
 * The chart as it would be with these values in: the same model from the same cells, with one more of the values typed.
 *
 * @param build its name; it stands last on the timeline where it is not on it
 */
export function provisionalChart(ground: ChartGround, build: string, typed: readonly number[]): Provisional {
  const known = ground.builds.find((each) => each.name === build)
  const builds: readonly { readonly id: number; readonly name: string }[] =
    known === undefined && typed.length > 0
      ? [...ground.builds, { id: IN_THE_MAKING, name: build }]
      : ground.builds
  const { study } = ground
  const cells =
    typed.length === 0
      ? ground.cells
      : [
          ...ground.cells,
          {
            characteristicId: 0,
            buildId: known?.id ?? IN_THE_MAKING,
            furnaceLoadId: null,
            stage: study.stage,
            ...momentsOf(typed),
          },
        ]
  const chart = buildChart(study, cells, builds)
  const places = new Map(builds.map(({ id }, i) => [id, i]))
  return {
    chart,
    buildNames: builds.map(({ name }) => name),
    positions: chart.subgroups.map(({ buildId }) => places.get(buildId) as number),
  }
}
