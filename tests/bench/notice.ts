/**
 * How long after a commit a listener of another connection hears of it, beside the commit itself:
 *
 *     npx tsx tests/bench/notice.ts
 *
 * The page asks for the new state as soon as it hears. On SQLite the listener belongs to the process that writes, on
 * PostgreSQL to a store of its own, as in another server process.
 */
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { openStore, type Store } from '../../server/store/store.ts'
import { startPostgres } from '../tools/postgres.ts'
import { unrecorded } from '../tools/unrecorded.ts'
import { type BenchRow, median, row, runAlone } from './rows.ts'

const ROUNDS = 25

await runAlone(import.meta.url, noticeBench)

export async function noticeBench(): Promise<BenchRow[]> {
  const folder = mkdtempSync(join(tmpdir(), 'as-sintered-bench-'))
  const postgres = await startPostgres({})
  try {
    const store = await openStore({ file: join(folder, 'store.sqlite') })
    const sqlite = await rowOf('SQLite', store, store)
    await store.close()
    const connection = await postgres.createDatabase()
    const [writing, hearing] = [await openStore({ connection }), await openStore({ connection })]
    const other = await rowOf('PostgreSQL, another process', writing, hearing)
    await writing.close()
    await hearing.close()
    return [sqlite, other]
  } finally {
    await postgres.stop()
    rmSync(folder, { recursive: true, force: true })
  }
}

async function rowOf(engine: string, writing: Store, hearing: Store): Promise<BenchRow> {
  const [commits, notices]: [number[], number[]] = [[], []]
  let heard = () => {}
  // One listener for all rounds, as a page that stays open. The first round waits for its connection too.
  const stop = hearing.onChange(() => heard())
  for (let round = 0; round < ROUNDS; round++) {
    const begun = performance.now()
    const notice = new Promise<number>((resolve) => {
      heard = () => resolve(performance.now() - begun)
    })
    await unrecorded(writing).write((writer) =>
      writer.put('gauge', [{ id: 1, name: `CMM-1, calibrated ${round} times` }]),
    )
    commits.push(performance.now() - begun)
    notices.push(await notice)
  }
  stop()
  return row(`notice of a commit, ${engine}`, median(notices), 'ms', {
    what: 'the commit',
    measured: median(commits),
  })
}
