import type { ClientBase } from 'pg'
import { STAGES, type Stage } from '../../../src/domain/cell.ts'
import type { CellColumns } from '../../../src/domain/cell-columns.ts'
import { CellRows } from '../cell-rows.ts'
import { type CellChanges, MOST_BUILDS_ANEW } from '../engine.ts'
import { copied, HEADER_BYTES } from './copied.ts'

export async function postgresCellsOf(
  client: ClientBase,
  characteristicId: number,
  stage: Stage,
): Promise<CellColumns> {
  const { cells } = await taken(client, stage, `characteristic_id = ${whole(characteristicId)}`)
  return cells
}

/**
 * As `Engine.cellChanges`. A mark is the first transaction that was under way: its rows may show from the next read on.
 */
export async function postgresCellChanges(
  client: ClientBase,
  partNumberId: number,
  stage: Stage,
  since: string | null,
): Promise<CellChanges> {
  // One state of the database for both, and no later one than that of the cells, which are read again where in doubt.
  const { rows } = await client.query<{ mark: string; builds: number[] | null }>({
    name: 'cell changes',
    text: `select pg_snapshot_xmin(pg_current_snapshot())::text as mark,
        case when $3::bigint is null then null else array(
          select build_id from cell_change where part_number_id = $1 and stage = $2 and change >= $3 limit $4
        ) end as builds`,
    values: [partNumberId, stage, since, MOST_BUILDS_ANEW + 1],
  })
  const { mark, builds } = rows[0] as (typeof rows)[number]
  const own = `characteristic_id in (select id from characteristic where part_number_id = ${whole(partNumberId)})`
  if (builds === null || builds.length > MOST_BUILDS_ANEW) {
    return { mark, builds: null, ...(await taken(client, stage, own)) }
  }
  const among = `${own} and build_id = any(array[${builds.map(whole).join(', ')}]::int[])`
  return { mark, builds: new Set(builds), ...(await taken(client, stage, among)) }
}

/** COPY takes no parameters, so nothing but numbers and the names of stages may get into its text. */
function whole(id: number): number {
  if (!Number.isInteger(id)) throw new TypeError(`no identity: ${id}`)
  return id
}

/**
 * Reads cells by the ten thousand, in the binary format of COPY: rows of numbers as they are in memory take a
 * third of the time of rows of text.
 */
async function taken(client: ClientBase, stage: Stage, where: string) {
  if (!STAGES.includes(stage)) throw new TypeError(`no stage "${stage}"`)
  const bytes = await copied(
    client,
    `copy (select characteristic_id, build_id, furnace_load_id, n, mean, m2, min, max
           from cell where n > 0 and stage = '${stage}' and ${where}
           order by characteristic_id, build_id, coalesce(furnace_load_id, 0)) to stdout (format binary)`,
  )
  const rows = new CellRows()
  let at = HEADER_BYTES
  const int = (): number => {
    const value = bytes.readInt32BE(at + 4)
    at += 8
    return value
  }
  const intOrNull = (): number | null => {
    if (bytes.readInt32BE(at) !== -1) return int()
    at += 4
    return null
  }
  const double = (): number => {
    const value = bytes.readDoubleBE(at + 4)
    at += 12
    return value
  }
  // Each row begins with the number of its columns; -1 ends them.
  while (bytes.readInt16BE(at) !== -1) {
    at += 2
    rows.add(int(), int(), intOrNull(), int(), double(), double(), double(), double())
  }
  return rows.columns()
}
