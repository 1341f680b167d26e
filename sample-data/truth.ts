/** What is true of builds, loads and trays, for comparison with what is estimated from the measurements. */

import type { ShopPart } from './parts.ts'
import {
  AXES,
  addChanges,
  alike,
  type BuildState,
  bedChange,
  type PerAxis,
  SHRINKAGE,
  SIGMA,
  times,
} from './physics.ts'
import { type PlantedId, plantedChange, scaleChange, scatterFactor } from './planted.ts'
import { Random } from './random.ts'
import type { Schedule, ShopBuild, ShopLoad } from './schedule.ts'
import { FURNACES, TRAYS } from './shop.ts'

export interface BuildTruth {
  readonly build: string
  /** Linear shrinkage as a fraction, mean over the build's measured parts, planted causes included. */
  readonly shrinkage: PerAxis
  /** Relative change of size by planted causes, mean over the same parts; the mistyped value is not in it. */
  readonly planted: PerAxis
  /** Bleed of binder, both faces together, mm green: outer sizes are larger by it and inner ones smaller. */
  readonly bleed: number
  /** Factor on the scatter of parts; 1 but for the build planted so. */
  readonly scatterFactor: number
}

export interface ShopTruth {
  readonly builds: readonly BuildTruth[]
  /** Relative change of size of each furnace load, all axes together; planted causes left out. */
  readonly loads: readonly { readonly furnaceLoad: string; readonly change: number }[]
  /** Relative change of size on each tray, all axes together; planted causes left out. */
  readonly trays: readonly { readonly furnace: string; readonly tray: number; readonly change: number }[]
}

/** All that acts on sizes besides the scatter from part to part. */
export class Influences {
  private readonly schedule: Schedule
  private readonly states: readonly BuildState[]
  private readonly planted: ReadonlySet<PlantedId>
  private readonly loads: ShopTruth['loads']
  private readonly trays: ShopTruth['trays']

  constructor(
    seed: number,
    schedule: Schedule,
    states: readonly BuildState[],
    planted: ReadonlySet<PlantedId>,
  ) {
    this.schedule = schedule
    this.states = states
    this.planted = planted
    const ofLoads = Random.stream(seed, 'loads')
    this.loads = schedule.loads.map(({ furnaceLoad }) => ({
      furnaceLoad,
      change: SIGMA.load * ofLoads.normal(),
    }))
    const ofTrays = Random.stream(seed, 'trays')
    this.trays = FURNACES.flatMap((furnace) =>
      TRAYS.map((tray) => ({ furnace, tray, change: SIGMA.tray * ofTrays.normal() })),
    )
  }

  private plantedIn(part: ShopPart): PerAxis {
    const { number } = this.schedule.builds[part.build] as ShopBuild
    return plantedChange(this.planted, number, this.schedule.loads[part.load] as ShopLoad, part.tray)
  }

  /** Relative change of size of a part from build, load, tray, place in the bed and planted causes. */
  change(part: ShopPart): PerAxis {
    const { furnace } = this.schedule.loads[part.load] as ShopLoad
    const tray = this.trays.find((t) => t.furnace === furnace && t.tray === part.tray)
    return addChanges(
      (this.states[part.build] as BuildState).change,
      alike((this.loads[part.load]?.change ?? 0) + (tray?.change ?? 0)),
      bedChange(part.bed),
      this.plantedIn(part),
    )
  }

  /** `parts`: the measured parts of each build. */
  truth(parts: readonly (readonly ShopPart[])[]): ShopTruth {
    const builds = this.schedule.builds.map(({ build, number }, b): BuildTruth => {
      const own = parts[b] ?? []
      const change = meanChange(own.map((part) => this.change(part)))
      const planted = meanChange(own.map((part) => this.plantedIn(part)))
      const { bleed } = this.states[b] as BuildState
      const shrinkage = { X: 0, Y: 0, Z: 0 }
      for (const axis of AXES) shrinkage[axis] = 1 - (1 - SHRINKAGE[axis]) * (1 + change[axis])
      return {
        build,
        shrinkage,
        planted: { ...planted, Y: planted.Y + scaleChange(this.planted, number) },
        bleed,
        scatterFactor: scatterFactor(this.planted, number),
      }
    })
    return { builds, loads: this.loads, trays: this.trays }
  }
}

function meanChange(changes: readonly PerAxis[]): PerAxis {
  return times(addChanges(...changes), 1 / changes.length)
}
