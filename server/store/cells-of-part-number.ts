import { copyMoments } from '../../src/description/moment-columns.ts'
import type { Cell, Stage } from '../../src/domain/cell.ts'
import { type CellColumns, cellsOfColumns, emptyCells } from '../../src/domain/cell-columns.ts'
import type { CellChanges, Engine } from './engine.ts'

/**
 * Cells that hold a value which is not left out, by characteristic; those of one characteristic by build, then furnace
 * load.
 */
export type CellsByCharacteristic = ReadonlyMap<number, CellColumns>

/** Part numbers and stages that are held: 80 000 cells take 4 MB. */
const MOST_HELD = 8

interface Held {
  readonly mark: string
  readonly cells: CellsByCharacteristic
}

/** Holds the cells of part numbers, and reads after a commit those of the builds that it touched. */
export class CellsOfPartNumbers {
  readonly #engine: Pick<Engine, 'cellChanges'>
  /** The one asked for last comes last. */
  readonly #held = new Map<string, Held>()
  #last: Promise<unknown> = Promise.resolve()

  constructor(engine: Pick<Engine, 'cellChanges'>) {
    this.#engine = engine
  }

  /** As they are now. What is given out is never changed afterwards. */
  read(partNumberId: number, stage: Stage): Promise<CellsByCharacteristic> {
    // One after another, so that an older state never takes the place of a newer one.
    const run = this.#last.then(() => this.#read(partNumberId, stage))
    this.#last = run.catch(() => undefined)
    return run
  }

  async #read(partNumberId: number, stage: Stage): Promise<CellsByCharacteristic> {
    const key = `${partNumberId} ${stage}`
    const held = this.#held.get(key)
    const changes = await this.#engine.cellChanges(partNumberId, stage, held?.mark ?? null)
    const { mark, builds } = changes
    const cells =
      held !== undefined && builds !== null ? changed(held.cells, changes, builds) : grouped(changes)
    // Without a mark nobody could tell what changes after it.
    if (mark === null) return cells
    this.#held.delete(key)
    this.#held.set(key, { mark, cells })
    if (this.#held.size > MOST_HELD) this.#held.delete(this.#held.keys().next().value as string)
    return cells
  }
}

/** Rows of one characteristic lie together, in the order that they are kept in. */
function grouped({ characteristicId, cells }: CellChanges): Map<number, CellColumns> {
  const groups = new Map<number, CellColumns>()
  for (let from = 0, to = 0; from < cells.length; from = to) {
    const id = characteristicId[from] as number
    for (to = from; to < cells.length && characteristicId[to] === id; to++);
    const own = emptyCells(to - from)
    for (let i = from; i < to; i++) copyCell(cells, i, own, i - from)
    groups.set(id, own)
  }
  return groups
}

/** The cells with those of the builds replaced by what was read anew. */
function changed(
  held: CellsByCharacteristic,
  changes: CellChanges,
  builds: ReadonlySet<number>,
): CellsByCharacteristic {
  if (builds.size === 0) return held
  const anew = grouped(changes)
  const nothing = emptyCells(0)
  const cells = new Map<number, CellColumns>()
  for (const id of new Set([...held.keys(), ...anew.keys()])) {
    const own = merged(held.get(id) ?? nothing, anew.get(id) ?? nothing, builds)
    if (own.length > 0) cells.set(id, own)
  }
  return cells
}

/** Both are in order of builds. */
function merged(before: CellColumns, anew: CellColumns, builds: ReadonlySet<number>): CellColumns {
  const gone = before.buildId.reduce((count, id) => (builds.has(id) ? count + 1 : count), 0)
  if (gone === 0 && anew.length === 0) return before
  const all = emptyCells(before.length - gone + anew.length)
  let to = 0
  let next = 0
  for (let i = 0; i < before.length; i++) {
    const build = before.buildId[i] as number
    if (builds.has(build)) continue
    while (next < anew.length && (anew.buildId[next] as number) < build) copyCell(anew, next++, all, to++)
    copyCell(before, i, all, to++)
  }
  while (next < anew.length) copyCell(anew, next++, all, to++)
  return all
}

function copyCell(source: CellColumns, from: number, target: CellColumns, to: number): void {
  target.buildId[to] = source.buildId[from] as number
  target.furnaceLoadId[to] = source.furnaceLoadId[from] as number
  copyMoments(source, from, target, to)
}

/** The same as records. */
export function cellRecords(cells: CellsByCharacteristic, stage: Stage): Cell[] {
  return [...cells].flatMap(([characteristicId, columns]) => cellsOfColumns(columns, characteristicId, stage))
}
