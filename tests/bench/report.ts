/**
 * How long a report of 40 characteristics takes, and how large it is, by the number of parts:
 *
 *     npx tsx tests/bench/report.ts [parts] [builds]
 *
 * 100 000 parts in 500 builds unless said otherwise, each part measured on all 40 characteristics. Wanted: less than
 * 5 s and 3 MB. Each step runs on a thread of its own, as in the server, and its start counts.
 */
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { ReportFormat } from '../../server/report/make-report.ts'
import { onReportThread } from '../../server/report/report-thread.ts'
import { openStore } from '../../server/store/store.ts'
import { fillShop } from './fill-shop.ts'
import { type BenchRow, row, runAlone } from './rows.ts'

const CHARACTERISTICS = 40
/** Steps of a few tenths of a second. */
const SHORT: ReadonlySet<string> = new Set(['xlsx', 'json'])

await runAlone(import.meta.url, ([parts, builds]) =>
  reportBench(Number(parts ?? 100_000), Number(builds ?? 500)),
)

/** A tenth of the parts in as many builds is what the report of all is held against. */
export async function reportBench(parts: number, builds: number): Promise<BenchRow[]> {
  const few = await timesOf(Math.round(parts / 10), builds)
  const all = await timesOf(parts, builds)
  return all.flatMap(({ step, seconds, megabytes }, i) => [
    row(
      `report of ${parts.toLocaleString('en')} parts in ${builds} builds, ${step}`,
      seconds,
      's',
      { what: 'a tenth of the parts', measured: few[i]?.seconds as number },
      !SHORT.has(step),
    ),
    ...(megabytes === null ? [] : [row(`size of that report, ${step}`, megabytes, 'MB')]),
  ])
}

interface Step {
  readonly step: string
  readonly seconds: number
  readonly megabytes: number | null
}

async function timesOf(parts: number, builds: number): Promise<Step[]> {
  const folder = mkdtempSync(join(tmpdir(), 'as-sintered-bench-'))
  const store = await openStore({ file: join(folder, 'store.sqlite') })
  try {
    await fillShop(store, { measurements: parts * CHARACTERISTICS, builds, characteristics: CHARACTERISTICS })
    const partNumber = await store.partNumber('HB-204', 'C')
    if (partNumber === null) throw new Error('nothing was filled in')
    const wanted = { stage: 'sintered' as const, required: 1.33, confidence: 0.95 }
    const steps: Step[] = []
    const timed = async <T>(step: string, work: () => Promise<T>, size: (made: T) => number | null) => {
      const begun = performance.now()
      const made = await work()
      steps.push({ step, seconds: (performance.now() - begun) / 1000, megabytes: size(made) })
      return made
    }
    const report = await timed(
      'figures',
      () =>
        onReportThread({ what: 'draw up', location: store.location, partNumber, wanted, who: 'the bench' }),
      () => null,
    )
    for (const format of ['pdf', 'html', 'xlsx', 'json'] satisfies ReportFormat[]) {
      await timed(
        format,
        () => onReportThread({ what: 'print', report, wanted: { format, paper: 'a4', logo: null } }),
        (bytes) => bytes.length / 1e6,
      )
    }
    return steps
  } finally {
    await store.close()
    rmSync(folder, { recursive: true, force: true })
  }
}
