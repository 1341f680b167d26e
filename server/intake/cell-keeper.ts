import type { Stage } from '../../src/domain/cell.ts'
import type { NewCell } from '../store/engine.ts'
import type { Writer } from '../store/writer.ts'
import type { Draft, PartEntry } from './draft.ts'

/** Cells of one build. */
interface KeptBuild {
  /** Cells by furnace load and stage, then by identity of the characteristic. */
  readonly places: Map<string, Map<number, number>>
  /** Whether they were asked for since unused ones were let go of last. */
  used: boolean
}

/** Finds the cells that measurements belong to, and makes those that are not there yet. */
export class CellKeeper {
  readonly #writer: Writer
  readonly #draft: Draft
  readonly #builds = new Map<number, KeptBuild>()
  /** Builds that the store may have cells of: where they are not kept here, they have to be read. */
  readonly #letGo = new Set<number>()
  #new: NewCell[] = []

  constructor(writer: Writer, draft: Draft) {
    this.#writer = writer
    this.#draft = draft
  }

  /** Read the cells in the store of the builds that these parts are of. */
  async load(parts: Iterable<PartEntry>): Promise<void> {
    const builds = new Set<number>()
    let last: PartEntry | null = null
    for (const part of parts) {
      if (part === last) continue
      last = part
      const build = part.row.build_id
      if (this.#builds.has(build)) continue
      if (build < this.#draft.firstNewBuild || this.#letGo.has(build)) builds.add(build)
    }
    if (builds.size === 0) return
    for (const build of builds) {
      this.#builds.set(build, { places: new Map(), used: true })
      this.#letGo.delete(build)
    }
    for (const cell of await this.#writer.cellsOfBuilds([...builds])) {
      this.at(cell.build_id, cell.furnace_load_id, cell.stage).set(cell.characteristic_id, cell.id)
    }
  }

  /** Cells of one build, furnace load and stage by identity of the characteristic. */
  at(build: number, load: number | null, stage: Stage): Map<number, number> {
    let kept = this.#builds.get(build)
    if (kept === undefined) {
      kept = { places: new Map(), used: true }
      this.#builds.set(build, kept)
    }
    kept.used = true
    const place = `${load ?? 0}/${stage}`
    let cells = kept.places.get(place)
    if (cells === undefined) {
      cells = new Map()
      kept.places.set(place, cells)
    }
    return cells
  }

  /** The cell of a characteristic among these, which are those of the part at the stage. */
  cell(cells: Map<number, number>, characteristic: number, part: PartEntry, stage: Stage): number {
    let id = cells.get(characteristic)
    if (id === undefined) {
      id = this.#draft.take('cell')
      cells.set(characteristic, id)
      this.#new.push({
        id,
        characteristic_id: characteristic,
        build_id: part.row.build_id,
        furnace_load_id: part.row.furnace_load_id,
        stage,
      })
    }
    return id
  }

  /** Cells made since this was asked last, to be written before their measurements. */
  takeNew(): readonly NewCell[] {
    const cells = this.#new
    this.#new = []
    return cells
  }

  /**
   * Let go of the cells of builds that were not asked for since this was called last. All new ones have to be written,
   * and nobody may hold on to what `at` gave.
   */
  forgetUnused(): void {
    for (const [build, kept] of this.#builds) {
      if (kept.used) kept.used = false
      else {
        this.#builds.delete(build)
        this.#letGo.add(build)
      }
    }
  }
}
