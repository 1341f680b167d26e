import { type Kysely, sql } from 'kysely'
import { countingOf, type Repeat, type RepeatChoice } from '../../src/charts/repeats.ts'
import { type Moments, momentsOf } from '../../src/description/moments.ts'
import type { Stage } from '../../src/domain/cell.ts'
import { recountBuckets } from './cell-buckets.ts'
import type { Bulk, CellValues } from './engine.ts'
import type { MeasurementTable, Schema } from './schema.ts'

/** A single value of a cell. */
type ValueKey = Pick<MeasurementTable, 'cell_id' | 'part_id' | 'replicate'>

/** What a cell holds of which every value is left out. */
const NOTHING: Moments = { n: 0, mean: 0, m2: 0, min: 0, max: 0 }

/** Parameters to one statement stay below the least limit of the dialects. */
const AT_ONCE = 500

/** Values that count, side by side. */
export type CountedValues = Pick<CellValues, 'cell' | 'part' | 'value'>

/** Whether a measurement, named by its table, is left out as a single value; beside the tables cell and part. */
const leftOut = (table: 'measurement' | 'other') => sql`exists (
  select 1 from exclusion e
  where e.characteristic_id = cell.characteristic_id and e.stage = cell.stage and e.build_id = cell.build_id
    and e.serial = part.serial
    and e.replicate = ${sql.ref(`${table}.replicate`)} and e.import_id = ${sql.ref(`${table}.import_id`)}
    and e.undoes is null and not exists (select 1 from exclusion u where u.undoes = e.id))`

/**
 * That a measurement counts, as a condition beside the tables cell, part and measurement: it is not left out, and where
 * the first or the last of its part counts, it is that one. Where the mean does, all of them pass.
 */
export const COUNTS = sql<boolean>`(not ${leftOut('measurement')} and not exists (
  select 1 from repeat_choice r
  inner join measurement other on other.cell_id = measurement.cell_id and other.part_id = measurement.part_id
  where r.characteristic_id = cell.characteristic_id and r.stage = cell.stage
    and ((r.choice = 'first' and (coalesce(other.measured_at, -1), other.replicate)
          < (coalesce(measurement.measured_at, -1), measurement.replicate))
      or (r.choice = 'last' and (coalesce(other.measured_at, -1), other.replicate)
          > (coalesce(measurement.measured_at, -1), measurement.replicate)))
    and not ${leftOut('other')}))`

/** Which measurement of a part counts for the characteristic at the stage, as its study in force says. */
export async function repeatChoiceOf(
  db: Kysely<Schema>,
  characteristicId: number,
  stage: Stage,
): Promise<RepeatChoice> {
  const row = await db
    .selectFrom('repeat_choice')
    .where('characteristic_id', '=', characteristicId)
    .where('stage', '=', stage)
    .select('choice')
    .executeTakeFirst()
  return row?.choice ?? 'every'
}

/** The same for cells; those of which each value counts are not among them. */
async function choicesOfCells(
  db: Kysely<Schema>,
  cellIds: readonly number[],
): Promise<ReadonlyMap<number, RepeatChoice>> {
  const found = new Map<number, RepeatChoice>()
  const choices = await db.selectFrom('repeat_choice').selectAll().execute()
  if (choices.length === 0) return found
  const byKey = new Map(choices.map((each) => [`${each.characteristic_id}/${each.stage}`, each.choice]))
  for (let i = 0; i < cellIds.length; i += AT_ONCE) {
    const cells = await db
      .selectFrom('cell')
      .where('id', 'in', cellIds.slice(i, i + AT_ONCE))
      .select(['id', 'characteristic_id', 'stage'])
      .execute()
    for (const cell of cells) {
      const choice = byKey.get(`${cell.characteristic_id}/${cell.stage}`)
      if (choice !== undefined) found.set(cell.id, choice)
    }
  }
  return found
}

/** Measurements that were ever left out as single values, with exclusion, cell and part. */
function excludedMeasurements(db: Kysely<Schema>) {
  return db
    .selectFrom('exclusion')
    .innerJoin('characteristic', 'characteristic.id', 'exclusion.characteristic_id')
    .innerJoin('part', (join) =>
      join
        .onRef('part.part_number_id', '=', 'characteristic.part_number_id')
        .onRef('part.serial', '=', 'exclusion.serial'),
    )
    .innerJoin('cell', (join) =>
      join
        .onRef('cell.characteristic_id', '=', 'exclusion.characteristic_id')
        .onRef('cell.stage', '=', 'exclusion.stage')
        .onRef('cell.build_id', '=', 'exclusion.build_id'),
    )
    .innerJoin('measurement', (join) =>
      join
        .onRef('measurement.cell_id', '=', 'cell.id')
        .onRef('measurement.part_id', '=', 'part.id')
        .onRef('measurement.replicate', '=', 'exclusion.replicate')
        .onRef('measurement.import_id', '=', 'exclusion.import_id'),
    )
    .where('exclusion.undoes', 'is', null)
}

/** Cells of which single values were ever left out. */
async function cellsWithExclusions(db: Kysely<Schema>): Promise<ReadonlySet<number>> {
  const rows = await excludedMeasurements(db).select('cell.id').distinct().execute()
  return new Set(rows.map((row) => row.id))
}

/** Whether single values of the cells are left out. */
async function leftOutValues(
  db: Kysely<Schema>,
  cellIds: ReadonlySet<number>,
): Promise<(value: ValueKey) => boolean> {
  const excluding = [...(await cellsWithExclusions(db))].filter((id) => cellIds.has(id))
  if (excluding.length === 0) return () => false
  const rows = await excludedMeasurements(db)
    .where('cell.id', '>=', Math.min(...excluding))
    .where('cell.id', '<=', Math.max(...excluding))
    .leftJoin('exclusion as undoing', 'undoing.undoes', 'exclusion.id')
    .where('undoing.id', 'is', null)
    .select(['cell.id as cell', 'part.id as part', 'measurement.replicate'])
    .execute()
  const keys = new Set(rows.map(({ cell, part, replicate }) => `${cell} ${part} ${replicate}`))
  return ({ cell_id, part_id, replicate }) => keys.size > 0 && keys.has(`${cell_id} ${part_id} ${replicate}`)
}

/** Several measurements of one part, by their places among the values. */
interface Run {
  readonly cell: number
  readonly part: number
  readonly places: readonly number[]
  readonly choice: RepeatChoice
}

/**
 * What counts of these values: nothing that is left out, and of several measurements of a part what the study says.
 * Everything that is computed from single values comes through here.
 *
 * @param values by cell, part and replicate
 * @param instead what to say of repeats in the place of what the studies say
 */
export async function countedValues(
  db: Kysely<Schema>,
  values: CellValues,
  instead?: RepeatChoice,
): Promise<CountedValues> {
  const { cell, part, replicate, value } = values
  const cellIds = new Set(cell)
  const leftOut = await leftOutValues(db, cellIds)
  const choices = instead === undefined ? await choicesOfCells(db, [...cellIds]) : null
  const kept: number[] = []
  const runs: Run[] = []
  let changed = false
  for (let from = 0, to = 0; from < cell.length; from = to) {
    const [own, owner] = [cell[from] as number, part[from] as number]
    const places: number[] = []
    for (to = from; to < cell.length && cell[to] === own && part[to] === owner; to++) {
      if (!leftOut({ cell_id: own, part_id: owner, replicate: replicate[to] as number })) places.push(to)
    }
    changed ||= places.length < to - from
    const choice = places.length < 2 ? 'every' : (instead ?? choices?.get(own) ?? 'every')
    if (choice === 'every') kept.push(...places)
    else {
      runs.push({ cell: own, part: owner, places, choice })
      kept.push(places[0] as number)
      changed = true
    }
  }
  if (!changed) return values
  const counting = new Map<number, number>()
  const times = await timesOf(
    db,
    runs.filter(({ choice }) => choice !== 'mean'),
  )
  for (const { cell: own, part: owner, places, choice } of runs) {
    const repeats = places.map((i): Repeat => {
      const number = replicate[i] as number
      const measuredAt = times.get(`${own} ${owner} ${number}`) ?? null
      return { value: value[i] as number, replicate: number, measuredAt }
    })
    counting.set(places[0] as number, countingOf(repeats, choice)[0] as number)
  }
  return {
    cell: Int32Array.from(kept, (i) => cell[i] as number),
    part: Int32Array.from(kept, (i) => part[i] as number),
    value: Float64Array.from(kept, (i) => counting.get(i) ?? (value[i] as number)),
  }
}

/** When the measurements of these parts were made, by cell, part and replicate. */
async function timesOf(
  db: Kysely<Schema>,
  runs: readonly Run[],
): Promise<ReadonlyMap<string, number | null>> {
  const parts = new Map<number, number[]>()
  for (const { cell, part } of runs) {
    const group = parts.get(cell)
    if (group === undefined) parts.set(cell, [part])
    else group.push(part)
  }
  const times = new Map<string, number | null>()
  for (const [cell, group] of parts) {
    for (let i = 0; i < group.length; i += AT_ONCE) {
      const rows = await db
        .selectFrom('measurement')
        .where('cell_id', '=', cell)
        .where('part_id', 'in', group.slice(i, i + AT_ONCE))
        .select(['part_id', 'replicate', 'measured_at'])
        .execute()
      for (const row of rows) times.set(`${cell} ${row.part_id} ${row.replicate}`, row.measured_at)
    }
  }
  return times
}

/** Moments of values that count, by cell; a cell without any is not among them. */
export function momentsByCell({ cell, value }: CountedValues): Map<number, Moments> {
  const moments = new Map<number, Moments>()
  for (let from = 0, to = 0; from < cell.length; from = to) {
    for (to = from; to < cell.length && cell[to] === cell[from]; to++);
    moments.set(cell[from] as number, momentsOf(value.subarray(from, to)))
  }
  return moments
}

/** Compute cells anew from those of their values that count; a cell without values is deleted. */
export async function recomputeCells(
  db: Kysely<Schema>,
  bulk: Bulk,
  cellIds: Iterable<number>,
): Promise<void> {
  const ids = [...cellIds]
  await bulk.recomputeCells(ids)
  const excluding = await cellsWithExclusions(db)
  const choices = await choicesOfCells(db, ids)
  const singly = await countSingly(
    db,
    bulk,
    ids.filter((id) => excluding.has(id) || choices.has(id)),
  )
  await recountBuckets(db, bulk, ids, new Set([...excluding, ...singly]))
}

/** Merge what came in into cells; those of which not each measurement counts are computed anew. */
export async function mergeIntoCells(
  db: Kysely<Schema>,
  bulk: Bulk,
  moments: ReadonlyMap<number, Moments>,
): Promise<void> {
  await bulk.mergeCells(moments)
  const ids = [...moments.keys()]
  const choices = await choicesOfCells(db, ids)
  const singly = await countSingly(
    db,
    bulk,
    ids.filter((id) => choices.has(id)),
  )
  await recountBuckets(db, bulk, ids, new Set([...(await cellsWithExclusions(db)), ...singly]))
}

/** Cells whose values are read together. */
const CELLS_AT_ONCE = 200

/** Compute cells from single values. @returns those of them in which not every value counts as it is */
async function countSingly(db: Kysely<Schema>, bulk: Bulk, ids: readonly number[]): Promise<number[]> {
  const differing: number[] = []
  for (let i = 0; i < ids.length; i += CELLS_AT_ONCE) {
    const some = ids.slice(i, i + CELLS_AT_ONCE)
    const values = await bulk.values(some)
    const counted = await countedValues(db, values)
    if (counted === values) continue
    const all = momentsByCell(values)
    const moments = momentsByCell(counted)
    for (const id of some) {
      if (!all.has(id) || all.get(id)?.n === moments.get(id)?.n) continue
      differing.push(id)
      await db
        .updateTable('cell')
        .set(moments.get(id) ?? NOTHING)
        .where('id', '=', id)
        .execute()
    }
  }
  return differing
}
