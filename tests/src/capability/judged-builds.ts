import type { Limits } from '../../../src/capability/indices.ts'
import { bindingLimits } from '../../../src/capability/quantile-method.ts'
import { type Shape, shapeOf } from '../../../src/capability/shape.ts'
import type { CapabilityBasis } from '../../../src/capability/summarise.ts'
import { buildChart } from '../../../src/charts/chart.ts'
import { DEFAULT_STUDY } from '../../../src/charts/study.ts'
import { subgroupsByBuild } from '../../../src/charts/subgroups.ts'
import { momentsOf } from '../../../src/description/moments.ts'
import type { Characteristic } from '../../../src/domain/characteristic.ts'

/** Characteristics and values for tests of capability. */

export const LENGTH: Characteristic = {
  id: 1,
  designator: '1',
  name: 'length',
  kind: 'length',
  nominal: 10,
  lower: 9.9,
  upper: 10.1,
  unit: 'mm',
  axis: 'X',
}

export const FLATNESS: Characteristic = { ...LENGTH, kind: 'flatness', nominal: 0, lower: 0, upper: 0.1 }

export interface JudgedBuilds {
  readonly basis: CapabilityBasis
  /** All values, and the build of each, counted from 1. */
  readonly value: readonly number[]
  readonly build: readonly number[]
  /** The shape of the values under other limits. */
  judge(limits: Limits): Shape | null
}

/** What the values of builds in their order are judged on, Ppk 1.33 being asked with 95 % confidence. */
export function judgedBuilds(
  characteristic: Characteristic,
  builds: readonly (readonly number[])[],
): JudgedBuilds {
  const cells = builds.map((own, i) => ({
    characteristicId: 1,
    buildId: i + 1,
    furnaceLoadId: null,
    stage: 'sintered' as const,
    ...momentsOf(own),
  }))
  const labels = builds.map((_, i) => ({ id: i + 1, name: String(i + 1) }))
  const value = builds.flat()
  const build = builds.flatMap((own, i) => own.map(() => i + 1))
  const judge = (limits: Limits) =>
    shapeOf(characteristic.kind, bindingLimits(limits, characteristic.kind), value, build, 0.95)
  const basis: CapabilityBasis = {
    characteristic,
    groups: subgroupsByBuild(cells, labels),
    chart: buildChart(DEFAULT_STUDY, cells, labels),
    study: DEFAULT_STUDY,
    requirement: { index: 'Ppk', value: 1.33, confidence: 0.95, class: null },
    shape: judge(characteristic),
    ownTolerance: null,
  }
  return { basis, value, build, judge }
}
