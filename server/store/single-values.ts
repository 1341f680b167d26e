import type { RepeatChoice } from '../../src/charts/repeats.ts'
import type { Cell, Stage } from '../../src/domain/cell.ts'
import type { Engine } from './engine.ts'
import { countedValues, momentsByCell } from './included-values.ts'

/** Single values side by side with the builds of their parts. */
export interface ValuesByBuild {
  readonly value: Float64Array
  /** Identity of the build of each value's part. */
  readonly build: Int32Array
  /** Identity of the part. */
  readonly part: Int32Array
}

/** Which gauges values were measured with. */
export interface GaugesOfValues {
  /** Their names, each once; null among them where rows name none. */
  readonly gauges: readonly (string | null)[]
  /**
   * All measurements of each part, by its identity, whether they count or not, in the order of cell and replicate; null
   * where one gauge made all.
   */
  readonly byPart: ReadonlyMap<
    number,
    readonly { readonly value: number; readonly gauge: string | null }[]
  > | null
}

/** An import that brought values. */
export interface SourceImport {
  readonly importId: number
  readonly fileName: string
  readonly sha256: string
  readonly who: string
  /** Seconds since 1970-01-01 UTC. */
  readonly at: number
  readonly values: number
}

export interface SingleValueReads {
  /**
   * The values of a characteristic that count, by cell, part and replicate.
   *
   * @param builds identities of the builds wanted; null for all
   */
  valuesByBuild(
    characteristicId: number,
    stage: Stage,
    builds: ReadonlySet<number> | null,
  ): Promise<ValuesByBuild>
  /** Which gauges measured the characteristic in these builds. */
  gaugesOfValues(characteristicId: number, stage: Stage, builds: ReadonlySet<number>): Promise<GaugesOfValues>
  /**
   * The cells of a characteristic as they would be if its study said this of repeats; in a time that grows with its
   * values.
   */
  cellsCountedBy(characteristicId: number, stage: Stage, repeats: RepeatChoice): Promise<Cell[]>
  /**
   * Imports that brought values of the part number in these builds, whether those count or not, oldest first.
   *
   * @param builds identities of the builds wanted; null for all
   */
  sourceImports(
    partNumberId: number,
    stage: Stage,
    builds: ReadonlySet<number> | null,
  ): Promise<SourceImport[]>
}

/** Parameters to one statement stay below the least limit of the dialects. */
const AT_ONCE = 500

export function singleValueReads(engine: Engine): SingleValueReads {
  const { db } = engine
  return {
    async valuesByBuild(characteristicId, stage, builds) {
      const rows = await db
        .selectFrom('cell')
        .where('characteristic_id', '=', characteristicId)
        .where('stage', '=', stage)
        .select(['id', 'build_id'])
        .orderBy('id')
        .execute()
      const cells = builds === null ? rows : rows.filter((row) => builds.has(row.build_id))
      const buildOf = new Map(cells.map((row) => [row.id, row.build_id]))
      const { cell, part, value } = await countedValues(db, await engine.values([...buildOf.keys()]))
      const build = new Int32Array(cell.length)
      // Values of a cell lie together.
      let [last, own] = [-1, -1]
      for (let i = 0; i < cell.length; i++) {
        const id = cell[i] as number
        if (id !== last) {
          last = id
          own = buildOf.get(id) as number
        }
        build[i] = own
      }
      return { value, build, part }
    },

    async gaugesOfValues(characteristicId, stage, builds) {
      const measured = (piece: readonly number[]) =>
        db
          .selectFrom('cell')
          .innerJoin('measurement', 'measurement.cell_id', 'cell.id')
          .leftJoin('gauge', 'gauge.id', 'measurement.gauge_id')
          .where('cell.characteristic_id', '=', characteristicId)
          .where('cell.stage', '=', stage)
          .where('cell.build_id', 'in', piece)
      const names = new Set<string | null>()
      for (const piece of pieces([...builds])) {
        const rows = await measured(piece).select('gauge.name').distinct().execute()
        for (const { name } of rows) names.add(name)
      }
      const gauges = [...names].sort()
      if (gauges.length < 2) return { gauges, byPart: null }
      const byPart = new Map<number, { readonly value: number; readonly gauge: string | null }[]>()
      for (const piece of pieces([...builds])) {
        const rows = await measured(piece)
          .select(['measurement.part_id as part', 'measurement.value', 'gauge.name as gauge'])
          .orderBy('measurement.cell_id')
          .orderBy('measurement.part_id')
          .orderBy('measurement.replicate')
          .execute()
        for (const { part, value, gauge } of rows) {
          const own = byPart.get(part)
          if (own === undefined) byPart.set(part, [{ value, gauge }])
          else own.push({ value, gauge })
        }
      }
      return { gauges, byPart }
    },

    async cellsCountedBy(characteristicId, stage, repeats) {
      const cells = await db
        .selectFrom('cell')
        .where('characteristic_id', '=', characteristicId)
        .where('stage', '=', stage)
        .select(['id', 'build_id as buildId', 'furnace_load_id as furnaceLoadId'])
        .execute()
      const values = await engine.values(cells.map((cell) => cell.id))
      const moments = momentsByCell(await countedValues(db, values, repeats))
      return cells.flatMap(({ id, buildId, furnaceLoadId }) => {
        const own = moments.get(id)
        return own === undefined ? [] : [{ characteristicId, buildId, furnaceLoadId, stage, ...own }]
      })
    },

    async sourceImports(partNumberId, stage, builds) {
      const wanted = builds === null ? [null] : pieces([...builds])
      const counts = new Map<number, number>()
      for (const piece of wanted) {
        let query = db
          .selectFrom('cell')
          .innerJoin('measurement', 'measurement.cell_id', 'cell.id')
          .where('cell.characteristic_id', 'in', (eb) =>
            eb.selectFrom('characteristic').select('id').where('part_number_id', '=', partNumberId),
          )
          .where('cell.stage', '=', stage)
        if (piece !== null) query = query.where('cell.build_id', 'in', piece)
        const rows = await query
          .select((eb) => ['measurement.import_id as id', eb.fn.countAll<number>().as('count')])
          .groupBy('measurement.import_id')
          .execute()
        for (const { id, count } of rows) counts.set(id, (counts.get(id) ?? 0) + Number(count))
      }
      const sources: SourceImport[] = []
      for (const ids of pieces([...counts.keys()])) {
        const rows = await db
          .selectFrom('import')
          .where('id', 'in', ids)
          .select(['id', 'file_name as fileName', 'sha256', 'who', 'at'])
          .execute()
        for (const { id, at, ...row } of rows) {
          sources.push({ importId: id, ...row, at: Number(at), values: counts.get(id) ?? 0 })
        }
      }
      return sources.sort((a, b) => a.importId - b.importId)
    },
  }
}

/** The identities in pieces for one statement each. */
function pieces(ids: readonly number[]): number[][] {
  const result: number[][] = []
  for (let i = 0; i < ids.length; i += AT_ONCE) result.push(ids.slice(i, i + AT_ONCE))
  return result
}
