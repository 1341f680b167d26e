import type { Kysely } from 'kysely'
import { parsed } from '../record/chain-walk.ts'
import type { Schema } from '../schema.ts'
import { StillSigningInError, type Taken } from './erasure-writes.ts'
import { withTexts } from './words.ts'

/**
 * Tables that no name of a person is looked for in: those of the record, which are seen to apart; what is named by the
 * shop; and reports, which stay as they were given out.
 */
const LEFT: ReadonlySet<string> = new Set([
  'record_entry',
  'record_personal',
  'record_about',
  'record_erased',
  'schema_version',
  'part_number',
  'characteristic',
  'build',
  'furnace_load',
  'part',
  'gauge',
  'cell',
  'cell_buckets',
  'measurement',
  'withdrawn_measurement',
  'measured_build',
  'build_gauge',
  'build_load',
  'cell_change',
  'token',
  'report',
  'report_copy',
])

/** A person's name, wherever it stands as a whole word, is replaced by a number: "person 3". */
export async function erasePerson(db: Kysely<Schema>, name: string): Promise<Taken | null> {
  const person = await db
    .selectFrom('person')
    .where('name', '=', name)
    .select('disabled_at')
    .executeTakeFirst()
  if (person !== undefined && person.disabled_at === null) {
    throw new StillSigningInError(`${name} may sign in still`)
  }
  const pseudonym = `person ${(await erasedBefore(db)) + 1}`
  const word = new RegExp(`(?<![\\p{L}\\p{N}])${escaped(name)}(?![\\p{L}\\p{N}])`, 'gu')
  const change = (text: string) => text.replace(word, pseudonym)

  const tables = new Set<string>()
  let rows = 0
  for (const { name: table, columns } of await db.introspection.getTables()) {
    if (LEFT.has(table) || /^(measurement_\d+|sqlite_)/.test(table)) continue
    for (const column of columns.filter(({ dataType }) => dataType.toLowerCase() === 'text')) {
      const changed = await changeColumn(db, table, column.name, name, change)
      if (changed > 0) tables.add(table)
      rows += changed
    }
  }
  if (person !== undefined) {
    await db
      .updateTable('person')
      .set({ name_key: pseudonym, password: null })
      .where('name', '=', pseudonym)
      .execute()
  }
  const entries = await db
    .selectFrom('record_personal')
    .where((eb) => eb.or([eb('who', '=', name), eb('content', 'like', like(name))]))
    .select('sequence')
    .execute()
  if (rows === 0 && entries.length === 0) return null
  return {
    about: [],
    details: { pseudonym, rows },
    entries: entries.map(({ sequence }) => sequence),
    without: ({ who, content: { row, ...words } }) => ({
      who: who === name ? pseudonym : who,
      content: { ...(withTexts(words, change) as object), ...(row === undefined ? {} : { row }) },
    }),
    tables,
  }
}

async function erasedBefore(db: Kysely<Schema>): Promise<number> {
  const rows = await db
    .selectFrom('record_entry')
    .where('kind', '=', 'erasure')
    .where('details', 'like', '%"what":"person"%')
    .select('sequence')
    .execute()
  return rows.length
}

/** Replace the name in the different texts of a column. @returns rows changed */
async function changeColumn(
  db: Kysely<Schema>,
  table: string,
  column: string,
  name: string,
  change: (text: string) => string,
): Promise<number> {
  // The table is any of them, which the builder's types cannot follow.
  const plain = db as unknown as Kysely<Record<string, Record<string, unknown>>>
  const texts = await plain
    .selectFrom(table)
    .where(column, 'like', like(name))
    .select(column)
    .distinct()
    .execute()
  let rows = 0
  for (const row of texts) {
    const before = row[column] as string
    // Inside JSON a name may be written with escapes, so that data are changed text by text.
    const data = /^[{[]/.test(before) ? parsed(before) : null
    const after = data === null ? change(before) : JSON.stringify(withTexts(data, change))
    if (after === before) continue
    const { numUpdatedRows } = await plain
      .updateTable(table)
      .set({ [column]: after })
      .where(column, '=', before)
      .executeTakeFirst()
    rows += Number(numUpdatedRows)
  }
  return rows
}

/** Finds the name in a text, in JSON as well; SQLite does not tell capitals apart, `change` does. */
function like(name: string): string {
  const inside = JSON.stringify(name).slice(1, -1)
  return `%${inside.replaceAll('\\', '_').replaceAll('%', '_')}%`
}

function escaped(text: string): string {
  return text.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')
}
