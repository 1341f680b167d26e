/** The demonstration shop as data: what was printed, sintered and measured, and the truth behind it. */

import { type GaugeFile, gaugeFiles } from './gauge-files.ts'
import { measurePart, type ShopMeasurement } from './measure.ts'
import { drawParts, type ShopPart } from './parts.ts'
import { addChanges, type BuildState, drawBuildState, drawPartChange, times } from './physics.ts'
import { MISTYPED, PLANTED_IDS, type PlantedId, scatterFactor, swapDecimals } from './planted.ts'
import { describePlanted, type PlantedCause, type TypedWrong } from './planted-record.ts'
import { Random } from './random.ts'
import { drawSchedule, type ShopBuild, type ShopLoad } from './schedule.ts'
import { buildName } from './shop.ts'
import { Influences, type ShopTruth } from './truth.ts'

export interface Shop {
  readonly builds: readonly ShopBuild[]
  readonly loads: readonly ShopLoad[]
  /** By build, part number and serial; green before sintered. */
  readonly measurements: readonly ShopMeasurement[]
  /** The causes that were planted, in the order in which they begin. */
  readonly planted: readonly PlantedCause[]
  readonly truth: ShopTruth
  /** The register of gauges and studies of them, by name of file. */
  readonly gaugeFiles: ReadonlyMap<string, GaugeFile>
}

export interface ShopOptions {
  /** Causes that are not planted. All other draws stay as they are. */
  readonly leaveOut?: readonly PlantedId[]
}

/**
 * The shop's whole history. The same seed and options give the same shop on every machine.
 * @param seed any whole number
 */
export function generateShop(seed: number, options: ShopOptions = {}): Shop {
  const planted = new Set(PLANTED_IDS.filter((id) => !options.leaveOut?.includes(id)))
  const schedule = drawSchedule(Random.stream(seed, 'schedule'), planted.has('scale-correction'))
  const parts = drawParts(Random.stream(seed, 'parts'), schedule)
  const partsOfBuild = schedule.builds.map((_, b) => parts.filter((part) => part.build === b))
  const states = schedule.builds.map(({ build }) => drawBuildState(Random.stream(seed, `build ${build}`)))
  const influences = new Influences(seed, schedule, states, planted)

  const asMeant = schedule.builds.flatMap((build, b) => {
    const random = Random.stream(seed, `measurements ${build.build}`)
    const factor = scatterFactor(planted, build.number)
    const own = partsOfBuild[b] as ShopPart[]
    return own.flatMap((part, order) => {
      const subject = {
        part,
        order,
        orderOfPartNumber: own.filter((other) => other.of === part.of).indexOf(part),
        build,
        load: schedule.loads[part.load] as ShopLoad,
        state: states[b] as BuildState,
        change: addChanges(influences.change(part), times(drawPartChange(random), factor)),
        scatterFactor: factor,
      }
      return measurePart(subject, random)
    })
  })
  const { measurements, typedWrong } = planted.has('mistyped-value')
    ? mistype(asMeant)
    : { measurements: asMeant, typedWrong: null }

  return {
    ...schedule,
    measurements,
    planted: describePlanted(typedWrong).filter(({ id }) => planted.has(id)),
    truth: influences.truth(partsOfBuild),
    gaugeFiles: gaugeFiles(seed),
  }
}

/** The same rows with one value typed wrongly: the one that the exchange of two decimals moves most. */
function mistype(rows: readonly ShopMeasurement[]): {
  measurements: ShopMeasurement[]
  typedWrong: TypedWrong | null
} {
  const off = ({ value }: ShopMeasurement) => Math.abs(swapDecimals(value) - value)
  const build = buildName(MISTYPED.build)
  const [chosen] = rows
    .filter((row) => row.build === build && row.partNumber === MISTYPED.partNumber)
    .filter((row) => row.characteristic === MISTYPED.designator && row.stage === 'sintered')
    .sort((a, b) => off(b) - off(a))
  if (chosen === undefined) return { measurements: [...rows], typedWrong: null }
  const typed = swapDecimals(chosen.value)
  return {
    measurements: rows.map((row) => (row === chosen ? { ...row, value: typed } : row)),
    typedWrong: { serial: chosen.serial, meant: chosen.value, typed },
  }
}
