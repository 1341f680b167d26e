import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { generateShop, type Shop, type ShopOptions } from '../../../sample-data/generate-shop.ts'
import type { PlantedCause } from '../../../sample-data/planted-record.ts'
import { PART_NUMBERS } from '../../../sample-data/shop.ts'
import { buildChart } from '../../../src/charts/chart.ts'
import { DEFAULT_STUDY } from '../../../src/charts/study.ts'
import { momentsOf } from '../../../src/description/moments.ts'
import type { Build, FurnaceLoad } from '../../../src/domain/build.ts'
import type { Cell } from '../../../src/domain/cell.ts'
import type { Characteristic } from '../../../src/domain/characteristic.ts'
import { type BuildConditions, buildConditions } from '../../../src/events/build-conditions.ts'
import type { ChartedCharacteristic } from '../../../src/events/search-input.ts'

/** What was planted in the demonstration shop, as its record says. */
export const PLANTED: readonly PlantedCause[] = JSON.parse(
  readFileSync(join(import.meta.dirname, '../../../sample-data/planted.json'), 'utf8'),
)

export interface ShopRecord {
  readonly partNumber: string
  readonly charted: readonly ChartedCharacteristic[]
  readonly builds: readonly BuildConditions[]
}

/** The charts and conditions of each part number of a generated shop. */
export function shopRecords(seed: number, options: ShopOptions = {}): ShopRecord[] {
  return recordsOf(generateShop(seed, options))
}

export function recordsOf(shop: Shop): ShopRecord[] {
  const builds = shop.builds.map(
    (build, i): Build => ({
      id: i + 1,
      name: build.build,
      printedAt: build.printedAt / 1000,
      printer: build.printer,
      buildBox: build.buildBox,
      powderLot: build.powderLot,
      powderReuse: build.powderReuse,
      scale: { x: build.scale.X, y: build.scale.Y, z: build.scale.Z },
      conditions: {
        'binder saturation': String(build.binderSaturationPct),
        'layer time': String(build.layerTimeS),
        inspector: build.inspector,
      },
    }),
  )
  const loads = shop.loads.map(
    (load, i): FurnaceLoad => ({
      id: i + 1,
      name: load.furnaceLoad,
      sinteredAt: load.sinteredAt / 1000,
      furnace: load.furnace,
      profile: load.profile,
      atmosphere: load.atmosphere,
      conditions: {},
    }),
  )
  const buildId = new Map(builds.map(({ id, name }) => [name, id]))
  const loadId = new Map(loads.map(({ id, name }) => [name, id]))
  const values = new Map<string, number[]>()
  for (const row of shop.measurements) {
    if (row.stage !== 'sintered') continue
    const key = [row.partNumber, row.characteristic, row.build, row.furnaceLoad].join('|')
    const known = values.get(key)
    if (known === undefined) values.set(key, [row.value])
    else known.push(row.value)
  }
  const cells = new Map<string, Cell[]>()
  for (const [key, own] of values) {
    const [partNumber = '', designator = '', build = '', load = ''] = key.split('|')
    const name = `${partNumber}|${designator}`
    const known = cells.get(name) ?? []
    cells.set(name, known)
    known.push({
      ...momentsOf(own),
      characteristicId: Number(designator),
      buildId: buildId.get(build) as number,
      furnaceLoadId: loadId.get(load) as number,
      stage: 'sintered',
    })
  }
  return PART_NUMBERS.map(({ partNumber, characteristics }) => {
    const charted = characteristics.map((of) => {
      const { designator, name, kind, nominal, lower, upper, axis } = of
      const id = Number(designator)
      const characteristic: Characteristic = {
        ...{ id, designator, name, kind, nominal, lower, upper, axis },
        unit: 'mm',
      }
      const own = cells.get(`${partNumber}|${designator}`) ?? []
      return { characteristic, chart: buildChart(DEFAULT_STUDY, own, builds) }
    })
    const all = characteristics.flatMap(({ designator }) => cells.get(`${partNumber}|${designator}`) ?? [])
    return { partNumber, charted, builds: buildConditions(builds, loads, all, new Map()) }
  })
}
