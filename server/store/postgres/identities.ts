import type { PoolClient } from 'pg'
import { IDENTITY_LIMIT, type Identities, NUMBERED_TABLES, type NumberedTable } from '../engine.ts'
import { CollisionError } from '../errors.ts'

/** Greatest committed identity of each table. */
const LAST = NUMBERED_TABLES.map(
  (table) => `select '${table}' as name, coalesce(max(id), 0) as last from ${table}`,
).join(' union all ')

/**
 * Set identities aside for one of several transactions at a time, at once seen by all. They lie above every
 * committed one and above what others have set aside.
 *
 * @param client outside of that transaction
 * @throws CollisionError where too few are left to share
 */
export async function setAside(client: PoolClient, rows: number): Promise<Identities> {
  const { rows: blocks } = await client.query<{ name: NumberedTable; next: number }>(
    `update identity set next = greatest(identity.next, used.last + 1) + $1
     from (${LAST}) as used where used.name = identity.name
     returning identity.name, identity.next - $1 as next`,
    [rows],
  )
  const next = {} as Record<NumberedTable, number>
  const end = {} as Record<NumberedTable, number>
  for (const block of blocks) {
    next[block.name] = block.next
    end[block.name] = block.next + rows
    if (block.next + rows > IDENTITY_LIMIT) throw new CollisionError('too few identities are left to share')
  }
  return { next, end }
}

/** Give back what was not used, unless others have set aside more since. */
export async function giveBack(client: PoolClient, { end }: Identities): Promise<void> {
  await client.query(
    `update identity set next = used.last + 1
     from (${LAST}) as used join unnest($1::text[], $2::bigint[]) as mine (name, ending) using (name)
     where used.name = identity.name and identity.next = mine.ending`,
    [Object.keys(end), Object.values(end)],
  )
}
