import { createReadStream } from 'node:fs'
import { Readable } from 'node:stream'
import type { ReadableStream } from 'node:stream/web'
import { Hono } from 'hono'
import { z } from 'zod'
import { signed } from '../access/signer.ts'
import type { ImportProgress, ImportsView, Withdrawal } from '../contract/receipt.ts'
import { importChoices, importId, importQuery, lineOf, lineQuery, withdrawal } from '../contract/requests.ts'
import type { Intake } from '../intake/jobs.ts'
import { notFound, ProblemError } from '../problem.ts'
import type { Store } from '../store/store.ts'
import { WITHDRAWABLE } from '../store/withdrawals.ts'
import { eventStream } from './event-streams.ts'
import { keptRows, rowsIn } from './source-rows.ts'
import { staleProblem } from './stale.ts'
import { validated } from './validated.ts'

/** Imports that a list shows at most. */
const LISTED = 500

/** Taking files in, watching how far they have come, and reading receipts; below /api/imports. */
export function importRoutes(store: Store, intake: Intake) {
  return new Hono()
    .post('/', validated('query', importQuery), async (c) => {
      const query = signed(c, c.req.valid('query'))
      const { name, who, takeGoodRows, convertUnits, partNumber, revision, build, preview } = query
      const body = c.req.raw.body
      if (body === null) {
        throw new ProblemError(400, {
          what: 'No file came with the request.',
          where: null,
          next: 'Send the file as the body.',
        })
      }
      const job = await intake.accept(Readable.fromWeb(body as ReadableStream), name, {
        who,
        takeGoodRows,
        convertUnits,
        partNumber: partNumber ?? null,
        revision: revision ?? null,
        build: build ?? null,
        preview,
      })
      return c.json(progressOf(intake, job), 202)
    })
    .get('/', async (c) => c.json({ imports: await store.imports(LISTED) } satisfies ImportsView))
    .get('/:id{[0-9]+}', validated('param', importId), async (c) => {
      const receipt = await store.receipt(c.req.valid('param').id)
      if (receipt === null) throw unknownImport(c.req.param('id'))
      return c.json(receipt)
    })
    .get('/:id{[0-9]+}/file', validated('param', importId), async (c) => {
      const receipt = await store.receipt(c.req.valid('param').id)
      const file = receipt === null ? null : intake.keptFile(receipt.sha256)
      if (!receipt || file === null) throw unknownImport(c.req.param('id'))
      // Never shown by the browser as what it claims to be: the bytes are the shop's, not ours.
      c.header('Content-Type', 'application/octet-stream')
      c.header('Content-Disposition', `attachment; filename*=UTF-8''${encodeURIComponent(receipt.fileName)}`)
      return c.body(Readable.toWeb(createReadStream(file)) as unknown as globalThis.ReadableStream)
    })
    .get(
      '/:id{[0-9]+}/lines/:line',
      validated('param', importId.extend(lineOf.shape)),
      validated('query', lineQuery),
      async (c) => {
        const { id, line } = c.req.valid('param')
        const receipt = await store.receipt(id)
        if (receipt === null) throw unknownImport(c.req.param('id'))
        return c.json(await keptRows(intake, receipt, line, c.req.valid('query').position ?? null))
      },
    )
    .post('/:id{[0-9]+}/withdraw', validated('param', importId), validated('json', withdrawal), async (c) => {
      const { id } = c.req.valid('param')
      const receipt = await store.receipt(id)
      if (receipt === null) throw unknownImport(c.req.param('id'))
      if (receipt.withdrawn !== undefined) throw withdrawnAlready(receipt.withdrawn)
      const cannot =
        receipt.kind === null || !WITHDRAWABLE.has(receipt.kind)
          ? 'Only imports of measurements and of gauge studies can be withdrawn.'
          : null
      if (cannot !== null) {
        throw new ProblemError(409, {
          what: cannot,
          where: `import ${id}`,
          next: 'Correct builds, furnace loads and characteristics by bringing a file that says otherwise.',
        })
      }
      const { who, reason } = signed(c, c.req.valid('json'))
      const answer = await intake.withdraw(id, receipt.fileName, who, reason)
      // Another may have been before it in the queue.
      const withdrawn = (await store.receipt(id))?.withdrawn
      if (answer.problem !== null && withdrawn !== undefined) throw withdrawnAlready(withdrawn)
      return c.json(answer)
    })
    .get(
      '/jobs/:job/lines/:line',
      validated('param', lineOf.extend({ job: z.string() })),
      validated('query', lineQuery),
      async (c) => {
        const { job, line } = c.req.valid('param')
        const { receipt } = progressOf(intake, job)
        const path = intake.fileAtHand(job)
        if (path === null || receipt === null) {
          throw notFound(
            'The file is not at hand any more, or is being read just now.',
            'Look at its receipt, or bring the file again.',
          )
        }
        return c.json(await rowsIn(path, receipt, line, c.req.valid('query').position ?? null))
      },
    )
    .get('/jobs/:job', (c) => c.json(progressOf(intake, c.req.param('job'))))
    .get('/jobs/:job/progress', (c) => {
      const job = c.req.param('job')
      progressOf(intake, job)
      return eventStream(
        c,
        (stream) =>
          new Promise<void>((resolve) => {
            // Written one after another: the stream may close only once the last notice is out.
            let written: Promise<void> = Promise.resolve()
            const stop = intake.subscribe(job, (progress) => {
              written = written.then(() => stream.writeSSE({ data: JSON.stringify(progress) }))
              if (progress.state === 'finished') void written.then(() => end())
            })
            const end = () => {
              stop()
              resolve()
            }
            stream.onAbort(end)
          }),
      )
    })
    .post('/jobs/:job/retry', validated('json', importChoices), async (c) => {
      const job = c.req.param('job')
      progressOf(intake, job)
      if (!(await intake.retry(job, signed(c, c.req.valid('json'))))) {
        throw new ProblemError(409, {
          what: 'The file is not at hand any more, or is being read just now.',
          where: null,
          next: 'Bring the file again.',
        })
      }
      return c.json(progressOf(intake, job), 202)
    })
    .delete('/jobs/:job', (c) => {
      const job = c.req.param('job')
      progressOf(intake, job)
      intake.cancel(job)
      return c.json(progressOf(intake, job))
    })
}

function progressOf(intake: Intake, job: string): ImportProgress {
  const progress = intake.progress(job)
  if (progress === null) {
    throw notFound(
      'This intake is not under way any more.',
      'Look for its receipt in the list of imports, or bring the file again.',
    )
  }
  return progress
}

function withdrawnAlready({ who, at, reason }: Withdrawal): ProblemError {
  return staleProblem({ who, at, did: `withdrew this import: ${reason}` })
}

function unknownImport(id: string): ProblemError {
  return notFound(`There is no import ${id} on record.`, 'Pick one from the list of imports.')
}
