/** Measuring a part: what the gauges print for it. */

import type { Stage } from '../src/domain/cell.ts'
import type { ShopPart } from './parts.ts'
import {
  type BuildState,
  drawDeviation,
  greenSize,
  type PerAxis,
  SIGMA_FACE,
  sinteredSize,
} from './physics.ts'
import type { Random } from './random.ts'
import type { ShopBuild, ShopLoad } from './schedule.ts'
import { GAUGES, type Gauge, isLinear, type ShopCharacteristic } from './shop.ts'

export interface ShopMeasurement {
  readonly partNumber: string
  readonly revision: string
  readonly serial: string
  readonly build: string
  readonly furnaceLoad: string
  readonly tray: number
  readonly trayPlace: number
  readonly bed: ShopPart['bed']
  /** The designator. */
  readonly characteristic: string
  /** As printed by the gauge, mm. */
  readonly value: number
  readonly stage: Stage
  /** Milliseconds since 1970-01-01 UTC. */
  readonly measuredAt: number
  readonly gauge: string
  readonly inspector: string
}

const MINUTE = 60_000
const MINUTES_PER_PART = 6
/** The hand gauge is used once the part is off the coordinate measuring machine. */
const HAND_GAUGE_DELAY = 3
/** Where green parts are measured, it is these sizes, on every third part of a part number. */
const GREEN = { designators: ['1', '2', '3'], everyNth: 3 }

/** A size as a gauge prints it: with its scatter, rounded to its resolution, mm. */
function reading(size: number, gauge: Gauge, random: Random): number {
  const steps = Math.round((size + gauge.sigma * random.normal()) / gauge.resolution)
  return Number((Math.max(0, steps) * gauge.resolution).toFixed(3))
}

/** A part under the gauge, with all that decides its sizes. */
interface PartToMeasure {
  readonly part: ShopPart
  /** Order among the measured parts of its build, from 0. */
  readonly order: number
  /** Order among those of its part number, from 0. */
  readonly orderOfPartNumber: number
  readonly build: ShopBuild
  readonly load: ShopLoad
  readonly state: BuildState
  /** Sum of all relative changes of size. */
  readonly change: PerAxis
  /** Factor on the scatter of the surface. */
  readonly scatterFactor: number
}

/** All rows of one part, green before sintered. Draws the same numbers whether or not a row is written. */
export function measurePart(subject: PartToMeasure, random: Random): ShopMeasurement[] {
  const { part, order, orderOfPartNumber, build, state } = subject
  const green: ShopMeasurement[] = []
  const sintered: ShopMeasurement[] = []
  for (const of of part.of.characteristics) {
    const gauge = GAUGES[of.gauge]
    if (!isLinear(of)) {
      const value = reading(drawDeviation(of, state, random), gauge, random)
      sintered.push(row(subject, of, value, 'sintered', build.measuredFrom))
      continue
    }
    const face = subject.scatterFactor * SIGMA_FACE * random.normal()
    const greenValue = reading(greenSize(of, build.scale, state.bleed, face), GAUGES['CMM-1'], random)
    const value = reading(sinteredSize(of, build.scale, state.bleed, face, subject.change), gauge, random)
    const greenWanted = GREEN.designators.includes(of.designator) && orderOfPartNumber % GREEN.everyNth === 0
    if (build.greenMeasuredFrom !== null && greenWanted)
      green.push(row(subject, { ...of, gauge: 'CMM-1' }, greenValue, 'green', build.greenMeasuredFrom))
    if (order % of.everyNth === 0) sintered.push(row(subject, of, value, 'sintered', build.measuredFrom))
  }
  return [...green, ...sintered]
}

function row(
  { part, order, build, load }: PartToMeasure,
  of: ShopCharacteristic,
  value: number,
  stage: Stage,
  from: number,
): ShopMeasurement {
  const minutes = order * MINUTES_PER_PART + (of.gauge === 'MIC-3' ? HAND_GAUGE_DELAY : 0)
  return {
    partNumber: part.of.partNumber,
    revision: part.of.revision,
    serial: part.serial,
    build: build.build,
    furnaceLoad: load.furnaceLoad,
    tray: part.tray,
    trayPlace: part.trayPlace,
    bed: part.bed,
    characteristic: of.designator,
    value,
    stage,
    measuredAt: from + minutes * MINUTE,
    gauge: of.gauge,
    inspector: build.inspector,
  }
}
