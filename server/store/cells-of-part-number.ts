import type { Cell, Stage } from '../../src/domain/cell.ts'
import { CELL_COLUMNS, type CellColumns, cellsOfColumns, emptyCells } from '../../src/domain/cell-columns.ts'
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

  /** Whether bringing them up to date is less work than reading those of one characteristic. */
  holds(partNumberId: number, stage: Stage): boolean {
    return this.#held.has(`${partNumberId} ${stage}`)
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
    copyCells(cells, from, to, own, 0)
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
  const ascending = [...builds].sort((a, b) => a - b)
  const cells = new Map<number, CellColumns>()
  for (const id of new Set([...held.keys(), ...anew.keys()])) {
    const own = merged(held.get(id) ?? NOTHING, anew.get(id) ?? NOTHING, ascending)
    if (own.length > 0) cells.set(id, own)
  }
  return cells
}

const NOTHING = emptyCells(0)

/**
 * What lies between the builds is copied as a whole.
 *
 * @param before in order of builds, as `anew`
 * @param builds ascending
 */
function merged(before: CellColumns, anew: CellColumns, builds: readonly number[]): CellColumns {
  const spans = builds.map((build) => ({
    old: spanOf(before, build),
    fresh: spanOf(anew, build),
  }))
  const gone = spans.reduce((count, { old }) => count + old.to - old.from, 0)
  if (gone === 0 && anew.length === 0) return before
  const all = emptyCells(before.length - gone + anew.length)
  let from = 0
  let to = 0
  for (const { old, fresh } of spans) {
    to = copyCells(before, from, old.from, all, to)
    to = copyCells(anew, fresh.from, fresh.to, all, to)
    from = old.to
  }
  copyCells(before, from, before.length, all, to)
  return all
}

/** Where the cells of a build lie, or would lie: from the first to before the last. */
function spanOf({ buildId, length }: CellColumns, build: number): { from: number; to: number } {
  let [from, end] = [0, length]
  while (from < end) {
    const middle = (from + end) >> 1
    if ((buildId[middle] as number) < build) from = middle + 1
    else end = middle
  }
  let to = from
  while (to < length && buildId[to] === build) to++
  return { from, to }
}

/** @returns the place after them in the target */
function copyCells(source: CellColumns, from: number, end: number, target: CellColumns, to: number): number {
  for (const column of CELL_COLUMNS) target[column].set(source[column].subarray(from, end), to)
  return to + end - from
}

/** The same as records. */
export function cellRecords(cells: CellsByCharacteristic, stage: Stage): Cell[] {
  return [...cells].flatMap(([characteristicId, columns]) => cellsOfColumns(columns, characteristicId, stage))
}
