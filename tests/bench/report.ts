/**
 * How long a report of 40 characteristics takes, and how large it is, by the number of parts:
 *
 *     npx tsx tests/bench/report.ts [parts] [builds]
 *
 * 100 000 parts in 500 builds unless said otherwise, each part measured on all 40 characteristics. Wanted: less than
 * 5 s and 3 MB. Each step runs on a thread of its own, as in the server, and its start counts. Seconds on the clock, and of processor time, which other work on the machine disturbs less.
 */
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { ReportFormat } from '../../server/report/make-report.ts'
import { onReportThread } from '../../server/report/report-thread.ts'
import { openStore } from '../../server/store/store.ts'
import { fillShop } from './fill-shop.ts'

const CHARACTERISTICS = 40
const parts = Number(process.argv[2] ?? 100_000)
const builds = Number(process.argv[3] ?? 500)

const folder = mkdtempSync(join(tmpdir(), 'as-sintered-bench-'))
const store = await openStore({ file: join(folder, 'store.sqlite') })
try {
  await fillShop(store, { measurements: parts * CHARACTERISTICS, builds, characteristics: CHARACTERISTICS })
  const partNumber = await store.partNumber('HB-204', 'C')
  if (partNumber === null) throw new Error('nothing was filled in')
  const wanted = { stage: 'sintered' as const, required: 1.33, confidence: 0.95 }
  console.log(`${parts} parts, ${builds} builds, ${CHARACTERISTICS} characteristics`)
  const report = await timed('figures', () =>
    onReportThread({ what: 'draw up', location: store.location, partNumber, wanted, who: 'the bench' }),
  )
  for (const format of ['pdf', 'html', 'xlsx', 'json'] satisfies ReportFormat[]) {
    await timed(format, async () => {
      const bytes = await onReportThread({
        what: 'print',
        report,
        wanted: { format, paper: 'a4', logo: null },
      })
      console.log(`${format}: ${(bytes.length / 1e6).toFixed(2)} MB`)
      return bytes
    })
  }
} finally {
  await store.close()
  rmSync(folder, { recursive: true, force: true })
}

async function timed<T>(what: string, work: () => Promise<T>): Promise<T> {
  const [begun, used] = [performance.now(), process.cpuUsage()]
  const result = await work()
  const { user, system } = process.cpuUsage(used)
  const seconds = (microseconds: number) => (microseconds / 1e6).toFixed(2)
  console.log(
    `${what}: ${seconds((performance.now() - begun) * 1000)} s, of the processor ${seconds(user + system)} s`,
  )
  return result
}
