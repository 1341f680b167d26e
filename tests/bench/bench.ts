/**
 * All benches in one table, also written to tests/bench/output/bench.json:
 *
 *     npm run bench -- [names] [--greatest 10000000] [--check] [--write-baseline]
 *
 * Each runs in a process of its own, so that none measures the memory of another. `names` are some of those below, all
 * unless said otherwise. `--greatest` is the greatest number of measurements of overview and chart on SQLite, ten million
 * unless said otherwise, and of a million at most on PostgreSQL. `--check` ends with 1 where a ratio is worse than in baseline.json by more than the margin;
 * `--write-baseline` makes these ratios the baseline. The client must have been built.
 */
import { spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { cpus, loadavg, tmpdir } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { parseArgs } from 'node:util'
import { type Baseline, baselineOf, MARGIN, worsened } from './check.ts'
import { type BenchRow, table, writeJson } from './rows.ts'

const here = (name: string) => fileURLToPath(new URL(name, import.meta.url))
const BASELINE = here('baseline.json')

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    greatest: { type: 'string', default: '10000000' },
    check: { type: 'boolean', default: false },
    'write-baseline': { type: 'boolean', default: false },
  },
})
const greatest = Number(values.greatest)

/** Each bench with what it is told. */
const benches: Readonly<Record<string, readonly string[]>> = {
  core: [],
  intake: ['1000000', '3', String(greatest)],
  scale: [String(greatest), String(Math.min(greatest, 1e6))],
  report: [],
  notice: [],
  client: [],
  frames: [],
}
const names = positionals.length === 0 ? Object.keys(benches) : positionals
for (const name of names) {
  if (!(name in benches))
    throw new RangeError(`no bench "${name}"; there are ${Object.keys(benches).join(', ')}`)
}

const byBench: Record<string, readonly BenchRow[]> = {}
const failed: string[] = []
for (const name of names) {
  const rows = measured(name, benches[name] as readonly string[])
  if (rows === null) failed.push(name)
  else byBench[name] = rows
}
const rows = Object.values(byBench).flat()
const load = loadavg()[0] as number
console.log(
  `${table(rows)}\n\nload of the machine at the end ${load.toFixed(1)}, ${cpus().length} processors`,
)
writeJson(here('output/bench.json'), {
  node: process.version,
  load,
  processors: cpus().length,
  benches: byBench,
})

const baselines = JSON.parse(readFileSync(BASELINE, 'utf8')) as Record<string, Baseline>
if (values['write-baseline']) {
  const anew = Object.entries(byBench).map(([name, own]) => [name, baselineOf(own)])
  writeJson(BASELINE, { ...baselines, ...Object.fromEntries(anew) })
}
if (values.check) {
  for (const [name, own] of Object.entries(byBench)) {
    for (const worse of worsened(baselines[name] ?? {}, own)) {
      console.error(`worse: ${worse.name}: ${worse.is?.toFixed(2) ?? 'not measured'}, was ${worse.was}`)
      process.exitCode = 1
    }
  }
  if (process.exitCode !== 1)
    console.log(`no ratio is worse than the baseline by more than ${MARGIN * 100} %`)
}
if (failed.length > 0) {
  console.error(`failed: ${failed.join(', ')}`)
  process.exitCode = 1
}

/** The rows of one bench; null where it failed. */
function measured(name: string, args: readonly string[]): readonly BenchRow[] | null {
  const folder = mkdtempSync(join(tmpdir(), 'as-sintered-bench-'))
  const file = join(folder, 'rows.json')
  try {
    const begun = performance.now()
    process.stdout.write(`── ${name} `)
    const options = ['--expose-gc', '--import', 'tsx', here(`${name}.ts`), ...args, '--json', file]
    const { status } = spawnSync(process.execPath, options, { stdio: ['ignore', 'ignore', 'inherit'] })
    console.log(`${((performance.now() - begun) / 1000).toFixed(0)} s`)
    return status === 0 ? (JSON.parse(readFileSync(file, 'utf8')) as BenchRow[]) : null
  } finally {
    rmSync(folder, { recursive: true, force: true })
  }
}
