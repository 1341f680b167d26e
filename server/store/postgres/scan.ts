import type { Pool } from 'pg'
import type { Scan } from '../engine.ts'

/** Hands rows over one by one, as arrays: the driver makes no object of each. */
export function postgresScan(pool: Pool): Scan {
  return async (columns, from, values, each) => {
    const { rows } = await pool.query<never[]>({
      text: `select ${columns.join(', ')} from ${from}`,
      values: [...values],
      rowMode: 'array',
    })
    for (const row of rows) each(...row)
  }
}
