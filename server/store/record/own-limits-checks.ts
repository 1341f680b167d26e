import type { Kysely } from 'kysely'
import { inOwnTolerance } from '../../../src/domain/own-limits.ts'
import type { Schema } from '../schema.ts'
import type { Faults } from './faults.ts'

/** Rows looked at together, since others want to read too. */
const AT_ONCE = 5000

/**
 * Where parts have limits of their own, the value that cells sum up follows from what was measured and from those limits,
 * which are kept beside it: whether they still say the same, and whether none is without the other.
 */
export async function checkOwnLimits(db: Kysely<Schema>, faults: Faults): Promise<void> {
  const characteristics = await db
    .selectFrom('characteristic')
    .where('own_limits', 'is not', null)
    .select(['id', 'designator'])
    .execute()
  for (const { id, designator } of characteristics) {
    const cells = await db
      .selectFrom('cell')
      .where('characteristic_id', '=', id)
      .select(['id', 'n'])
      .orderBy('id')
      .execute()
    let values = 0
    let differing = 0
    for (let from = 0, to = 0; from < cells.length; from = to) {
      let n = 0
      for (; to < cells.length && (to === from || n < AT_ONCE); to++) n += (cells[to] as { n: number }).n
      const [first, last] = [cells[from] as { id: number }, cells[to - 1] as { id: number }]
      const rows = await db
        .selectFrom('cell')
        .innerJoin('measurement', 'measurement.cell_id', 'cell.id')
        .leftJoin('own_limits', (join) =>
          join
            .onRef('own_limits.part_id', '=', 'measurement.part_id')
            .onRef('own_limits.characteristic_id', '=', 'cell.characteristic_id')
            .onRef('own_limits.stage', '=', 'cell.stage')
            .onRef('own_limits.replicate', '=', 'measurement.replicate')
            .onRef('own_limits.import_id', '=', 'measurement.import_id'),
        )
        .where('cell.characteristic_id', '=', id)
        .where('cell.id', '>=', first.id)
        .where('cell.id', '<=', last.id)
        .select(['measurement.value', 'own_limits.measured', 'own_limits.lower', 'own_limits.upper'])
        .execute()
      for (const { value, measured, lower, upper } of rows) {
        values++
        if (measured === null || inOwnTolerance(measured, { lower, upper }) !== value) differing++
      }
      await new Promise((resolve) => setImmediate(resolve))
    }
    if (differing > 0) {
      faults.add(
        'row',
        null,
        `${differing} ${differing === 1 ? 'value' : 'values'} of characteristic ${designator} (${id}) ${differing === 1 ? 'does' : 'do'} not follow from what was measured and the limits of the part’s own.`,
      )
    }
    const kept = await db
      .selectFrom('own_limits')
      .where('characteristic_id', '=', id)
      .select((eb) => eb.fn.countAll().as('count'))
      .executeTakeFirstOrThrow()
    if (Number(kept.count) > values) {
      faults.add(
        'row',
        null,
        `${Number(kept.count) - values} × limits of a part’s own without a value of characteristic ${designator} (${id}).`,
      )
    }
  }
}
