import { type Context, Hono } from 'hono'
import { stream } from 'hono/streaming'
import { signed } from '../access/signer.ts'
import { now } from '../clock.ts'
import { type ErasureDone, erasureRequest } from '../contract/erasure.ts'
import type { RecordPeopleView, RecordVerification, RecordView } from '../contract/record.ts'
import { recordFileQuery, recordQuery, recordVerifyQuery } from '../contract/record-requests.ts'
import { erase, previewErasure } from '../erase.ts'
import { notFound, ProblemError } from '../problem.ts'
import { csvOf } from '../report/spreadsheet.ts'
import { StillSigningInError } from '../store/erasure/erasure-writes.ts'
import type { RecordFilter } from '../store/record/record-reads.ts'
import type { Store } from '../store/store.ts'
import { RECORD_COLUMNS, recordPage, recordPages, recordRow } from '../views/record-view.ts'
import { validated } from './validated.ts'

/**
 * The record: its entries, as pages and as files, and whether it is as it was written; below /api/record.
 *
 * @param filesFolder folder of the kept files
 */
export function recordRoutes(store: Store, filesFolder: string) {
  let verified: RecordVerification | null = null
  let verifying: { readonly asked: string; readonly result: Promise<RecordVerification> } | null = null
  /** One walk at a time; whoever asks the same meanwhile gets its result. */
  const verify = async (expect: string | undefined, files: boolean): Promise<RecordVerification> => {
    const asked = `${expect} ${files}`
    while (verifying !== null && verifying.asked !== asked) await verifying.result.catch(() => undefined)
    verifying ??= {
      asked,
      result: store.verifyRecord({ expect, filesFolder: files ? filesFolder : null }).finally(() => {
        verifying = null
      }),
    }
    verified = await verifying.result
    return verified
  }

  return new Hono()
    .get('/', validated('query', recordQuery), async (c) => {
      const { before, limit, ...query } = c.req.valid('query')
      const page = await recordPage(store, filterOf(query), { before, limit })
      const [head, since] = await Promise.all([store.recordHead(), store.recordSince()])
      return c.json({ ...page, head, since, verified } satisfies RecordView)
    })
    .get('/people', async (c) => c.json({ people: await store.recordPeople() } satisfies RecordPeopleView))
    .get('/verification', validated('query', recordVerifyQuery), async (c) => {
      const { expect, files } = c.req.valid('query')
      return c.json(await verify(expect, files))
    })
    .post('/erasures', validated('json', erasureRequest), async (c) => {
      const { wanted, preview, who, reason } = signed(c, c.req.valid('json'))
      const grounds = { who, reason, at: now() }
      const done = await allowed(
        preview ? previewErasure(store, wanted, grounds) : erase(store, filesFolder, wanted, grounds),
      )
      if (done === null) throw nothingSuch()
      return c.json(done satisfies ErasureDone, preview ? 200 : 201)
    })
    .get('/file', validated('query', recordFileQuery), (c) => {
      const { format, ...query } = c.req.valid('query')
      return format === 'csv' ? asCsv(c, store, filterOf(query)) : asJson(c, store, filterOf(query))
    })
}

type Query = Omit<RecordFilter, 'kinds' | 'who' | 'about'> & {
  readonly person?: string | undefined
  readonly kind?: NonNullable<RecordFilter['kinds']>[number] | undefined
  readonly about?: NonNullable<RecordFilter['about']>[number] | undefined
}

function filterOf({ kind, person, about, ...filter }: Query): RecordFilter {
  return {
    ...filter,
    who: person,
    kinds: kind === undefined ? undefined : [kind],
    about: about === undefined ? undefined : [about],
  }
}

async function allowed<T>(erasing: Promise<T>): Promise<T> {
  try {
    return await erasing
  } catch (error) {
    if (!(error instanceof StillSigningInError)) throw error
    throw new ProblemError(409, {
      what: 'This person may sign in still.',
      where: 'wanted.name',
      next: 'Keep them from signing in first, on the page of people.',
    })
  }
}

function nothingSuch(): ProblemError {
  return notFound(
    'Nothing of this is on record: it was erased already, or never was here.',
    'Look at the spelling; capitals count.',
  )
}

function asCsv(c: Context, store: Store, filter: RecordFilter) {
  attach(c, 'text/csv; charset=utf-8', 'record.csv')
  return stream(c, async (out) => {
    await out.write(csvOf({ headings: [...RECORD_COLUMNS], rows: [] }))
    for await (const entries of recordPages(store, filter)) {
      // Without the mark and the headings of the first piece.
      const rows = csvOf({ headings: [], rows: entries.map(recordRow) }).slice('\uFEFF\r\n'.length)
      await out.write(rows)
    }
  })
}

function asJson(c: Context, store: Store, filter: RecordFilter) {
  attach(c, 'application/json', 'record.json')
  return stream(c, async (out) => {
    const head = await store.recordHead()
    await out.write(`{"head":${JSON.stringify(head)},"entries":[`)
    let first = true
    for await (const entries of recordPages(store, filter)) {
      for (const entry of entries) {
        await out.write(`${first ? '' : ',\n'}${JSON.stringify(entry)}`)
        first = false
      }
    }
    await out.write(']}\n')
  })
}

function attach(c: Context, type: string, name: string): void {
  c.header('Content-Type', type)
  c.header('Content-Disposition', `attachment; filename="${name}"`)
}
