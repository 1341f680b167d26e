import type { Kysely } from 'kysely'
import type { ErasureWanted } from '../../contract/erasure.ts'
import type { Bulk } from '../engine.ts'
import { recomputeCells } from '../included-values.ts'
import type { Schema } from '../schema.ts'
import { countAnew, setStages, type TouchedPart } from '../withdrawals.ts'
import { eraseFiles } from './erase-files.ts'
import type { Taken } from './erasure-writes.ts'
import type { EntryWords } from './words.ts'

/** What stands in the place of a serial number. */
const ERASED = 'erased'

type PartsWanted = Extract<ErasureWanted, { readonly what: 'parts' }>

/**
 * Parts with all that was measured on them, withdrawn measurements among them. Where they were left out, the exclusion
 * stays without their serial numbers; receipts lose the rows that name them.
 */
export async function eraseParts(
  db: Kysely<Schema>,
  bulk: Bulk,
  { partNumber, revision, serials, files }: PartsWanted,
): Promise<Taken | null> {
  const owner = await db
    .selectFrom('part_number')
    .where('number', '=', partNumber)
    .where('revision', '=', revision)
    .select('id')
    .executeTakeFirst()
  if (owner === undefined) return null
  const parts: TouchedPart[] = await db
    .selectFrom('part')
    .where('part_number_id', '=', owner.id)
    .where('serial', 'in', serials)
    .select(['id', 'part_number_id', 'build_id', 'stages'])
    .execute()
  const characteristics = db.selectFrom('characteristic').where('part_number_id', '=', owner.id).select('id')
  const withdrawn = db
    .selectFrom('withdrawn_measurement')
    .where('serial', 'in', serials)
    .where('characteristic_id', 'in', characteristics)
  const counts = new Map<number, number>()
  const count = (rows: readonly { import_id: number; count: unknown }[]) => {
    for (const row of rows) counts.set(row.import_id, (counts.get(row.import_id) ?? 0) + Number(row.count))
  }
  count(
    await withdrawn
      .groupBy('import_id')
      .select((eb) => ['import_id', eb.fn.countAll().as('count')])
      .execute(),
  )
  if (parts.length === 0 && counts.size === 0) return null
  const ids = parts.map(({ id }) => id)
  const builds = [...new Set(parts.map(({ build_id }) => build_id))]
  if (ids.length > 0) {
    // By the cells of their builds, since measurements are found by cell.
    const cells = db.selectFrom('cell').where('build_id', 'in', builds).select('id')
    const own = () => db.selectFrom('measurement').where('cell_id', 'in', cells).where('part_id', 'in', ids)
    const touched = await own().select('cell_id').distinct().execute()
    count(
      await own()
        .groupBy('import_id')
        .select((eb) => ['import_id', eb.fn.countAll().as('count')])
        .execute(),
    )
    await db.deleteFrom('own_limits').where('part_id', 'in', ids).execute()
    await db.deleteFrom('measurement').where('cell_id', 'in', cells).where('part_id', 'in', ids).execute()
    await recomputeCells(
      db,
      bulk,
      touched.map(({ cell_id }) => cell_id),
    )
    await setStages(db, parts, builds)
    await countAnew(db, builds, [owner.id])
  }
  await db
    .deleteFrom('withdrawn_measurement')
    .where('serial', 'in', serials)
    .where('characteristic_id', 'in', characteristics)
    .execute()
  const { numUpdatedRows } = await db
    .updateTable('exclusion')
    .set({ serial: ERASED })
    .where('serial', 'in', serials)
    .where('characteristic_id', 'in', characteristics)
    .executeTakeFirst()
  const imports = [...counts.keys()].sort((a, b) => a - b)
  const receipts = await scrubReceipts(db, imports, new Set(serials))
  const ofFiles = files ? await eraseFiles(db, imports) : null
  const entries = await entriesNaming(db, owner.id)
  const gone = new Set(serials)
  return {
    about: [
      { kind: 'part-number', id: owner.id },
      ...builds.map((id) => ({ kind: 'build' as const, id })),
      ...imports.map((id) => ({ kind: 'import' as const, id })),
    ],
    details: {
      parts: parts.length,
      measurements: Object.fromEntries(counts),
      files: ofFiles?.details.files ?? [],
      rows: Number(numUpdatedRows) + receipts + (ofFiles?.details.rows ?? 0),
    },
    entries: [...entries, ...(ofFiles?.entries ?? [])],
    without: (words) => {
      const own = withoutSerial(words, gone)
      return ofFiles?.without(own) ?? own
    },
    tables: new Set(['exclusion', 'import']),
  }
}

/** Entries about the part number whose words have a serial number. */
async function entriesNaming(db: Kysely<Schema>, partNumberId: number): Promise<number[]> {
  const rows = await db
    .selectFrom('record_about')
    .innerJoin('record_personal', 'record_personal.sequence', 'record_about.sequence')
    .where('record_about.kind', '=', 'part-number')
    .where('record_about.id', '=', partNumberId)
    .where('record_personal.content', 'like', '%"serial":%')
    .select('record_about.sequence')
    .execute()
  return rows.map(({ sequence }) => sequence)
}

function withoutSerial({ who, content }: EntryWords, serials: ReadonlySet<string>): EntryWords {
  const { serial } = content
  if (typeof serial !== 'string' || !serials.has(serial)) return { who, content }
  return { who, content: { ...content, serial: ERASED } }
}

/** Take what names the parts out of the receipts of these imports. @returns receipts changed */
async function scrubReceipts(
  db: Kysely<Schema>,
  imports: readonly number[],
  serials: ReadonlySet<string>,
): Promise<number> {
  let changed = 0
  for (const id of imports) {
    const row = await db.selectFrom('import').where('id', '=', id).select('receipt').executeTakeFirst()
    if (row === undefined) continue
    const receipt = JSON.stringify(withoutNamed(JSON.parse(row.receipt), serials))
    if (receipt === row.receipt) continue
    await db.updateTable('import').set({ receipt }).where('id', '=', id).execute()
    changed++
  }
  return changed
}

/**
 * Data without the entries of lists that name one of these serial numbers, as `serial`, as a value refused or as what a
 * column of one part is headed by.
 */
function withoutNamed(value: unknown, serials: ReadonlySet<string>): unknown {
  if (Array.isArray(value)) {
    return value.filter((each) => !names(each, serials)).map((each) => withoutNamed(each, serials))
  }
  if (value === null || typeof value !== 'object') return value
  return Object.fromEntries(Object.entries(value).map(([name, each]) => [name, withoutNamed(each, serials)]))
}

function names(value: unknown, serials: ReadonlySet<string>): boolean {
  if (value === null || typeof value !== 'object') return false
  const { serial, value: refused, heading } = value as Readonly<Record<string, unknown>>
  return [serial, refused, heading].some((text) => typeof text === 'string' && serials.has(text))
}
