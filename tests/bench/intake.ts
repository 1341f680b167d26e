/**
 * Taking in a large file of measurements, with all checks and the commit, beside DuckDB loading the same file into a
 * table of its own, in one run:
 *
 *     npx tsx tests/bench/intake.ts [rows] [rounds]
 *
 * and the same file into PostgreSQL.
 *
 * The file is made up here: builds of 48 parts with 16 characteristics each, in the order in which a measuring
 * machine writes them, part after part. 1 000 000 rows and three rounds unless said otherwise; each round takes the
 * file into an empty shop, then has DuckDB load it with one thread and with two. While the file is taken in, a chart
 * is asked for again and again, and memory is looked at: that of the whole process, with the sources compiled as they
 * are loaded, in the first round only, since DuckDB's own comes on top afterwards.
 */
import { execFileSync } from 'node:child_process'
import {
  closeSync,
  createReadStream,
  mkdirSync,
  mkdtempSync,
  openSync,
  rmSync,
  statSync,
  writeSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout } from 'node:timers/promises'
import { fileURLToPath } from 'node:url'
import { createApp } from '../../server/app.ts'
import { createIntake } from '../../server/intake/jobs.ts'
import type { StoreLocation } from '../../server/store/location.ts'
import { openStore } from '../../server/store/store.ts'
import { startPostgres } from '../tools/postgres.ts'
import { type BenchRow, median, row, runAlone } from './rows.ts'

const CHARACTERISTICS = 16
const PARTS = 48
const CHOICES = { who: 'bench', takeGoodRows: false, convertUnits: false, partNumber: null, revision: null }

if (process.argv[2] === 'write') {
  // In a process of its own, so that what writing leaves behind is not counted as the server's memory.
  generate(process.argv[3] as string, Number(process.argv[4]), Number(process.argv[5]))
} else {
  await runAlone(import.meta.url, ([rows, rounds]) => intakeBench(Number(rows ?? 1e6), Number(rounds ?? 3)))
}

export async function intakeBench(rows: number, rounds: number): Promise<BenchRow[]> {
  const folder = mkdtempSync(join(tmpdir(), 'as-sintered-bench-'))
  const postgres = await startPostgres({ shared_buffers: '256MB', max_wal_size: '4GB' })
  try {
    const path = join(folder, 'measurements.csv')
    const before = join(folder, 'before.csv')
    const write = (file: string, count: number, firstPart: number) =>
      execFileSync(process.execPath, [
        ...process.execArgv,
        fileURLToPath(import.meta.url),
        'write',
        file,
        String(count),
        String(firstPart),
      ])
    write(path, rows, 0)
    // A record to chart meanwhile: sixty builds of the same part number.
    write(before, 60 * PARTS * CHARACTERISTICS, 5_000_000)
    const megabytes = (statSync(path).size / 1e6).toFixed(0)
    const seconds: Record<'sqlite' | 'postgres' | 'one' | 'two', number[]> = {
      sqlite: [],
      postgres: [],
      one: [],
      two: [],
    }
    let peak = 0
    for (let round = 0; round < rounds; round++) {
      const shop = join(folder, `shop-${round}`)
      const taken = await takeIn(shop, { file: join(shop, 'store.sqlite') }, before, path, rows)
      seconds.sqlite.push(taken.seconds)
      peak ||= taken.peak
      rmSync(shop, { recursive: true, force: true })
      seconds.one.push(await loadWithDuck(join(folder, `one-${round}.db`), path, 1))
      seconds.two.push(await loadWithDuck(join(folder, `two-${round}.db`), path, 2))
      const connection = await postgres.createDatabase()
      seconds.postgres.push((await takeIn(shop, { connection }, before, path, rows)).seconds)
      rmSync(shop, { recursive: true, force: true })
    }
    const what = `${rows.toLocaleString('en')} rows, ${megabytes} MB`
    const sqlite = median(seconds.sqlite)
    return [
      row(`intake of ${what}, SQLite, beside one thread`, sqlite, 's', {
        what: 'DuckDB, 1 thread',
        measured: median(seconds.one),
      }),
      row(`intake of ${what}, SQLite, beside two threads`, sqlite, 's', {
        what: 'DuckDB, 2 threads',
        measured: median(seconds.two),
      }),
      row(`intake of ${what}, PostgreSQL`, median(seconds.postgres), 's', {
        what: 'SQLite',
        measured: sqlite,
      }),
      row(`rows a second, SQLite`, rows / sqlite, '1/s'),
      row(`rows a second, PostgreSQL`, rows / median(seconds.postgres), '1/s'),
      row(`greatest memory until the commit, ${what}`, peak / 2 ** 20, 'MiB'),
    ]
  } finally {
    await postgres.stop()
    rmSync(folder, { recursive: true, force: true })
  }
}

/** @returns seconds from the order to the receipt, and the greatest memory of the process until the commit, in bytes */
async function takeIn(
  shop: string,
  location: StoreLocation,
  before: string,
  path: string,
  rows: number,
): Promise<{ seconds: number; peak: number }> {
  mkdirSync(shop)
  const store = await openStore(location)
  const intake = createIntake({ store, dataFolder: shop })
  const app = createApp({ store, intake, sampleFolder: shop, clientFolder: shop })
  await intake.finished(await intake.accept(createReadStream(before), 'before.csv', CHOICES))

  const job = await intake.accept(createReadStream(path), 'bench.csv', CHOICES)
  const begun = performance.now()
  const notices: number[] = []
  intake.subscribe(job, () => notices.push(performance.now()))
  let ended = false
  const memory = { meanwhile: 0, all: 0 }
  // The chart of what was there before, and from the commit on the one with all builds of the file.
  const answers: { readonly meanwhile: number[]; readonly after: number[] } = { meanwhile: [], after: [] }
  let size = 0
  const asking = (async () => {
    while (!ended) {
      const asked = performance.now()
      const answer = await app.request('/api/part-numbers/HB-204/C/characteristics/1/chart?stage=sintered')
      if (answer.status !== 200) throw new Error(`the chart answers ${answer.status}`)
      const { byteLength } = await answer.arrayBuffer()
      size ||= byteLength
      if (byteLength === size) {
        answers.meanwhile.push(performance.now() - asked)
        memory.meanwhile = Math.max(memory.meanwhile, process.memoryUsage().rss)
      } else answers.after.push(performance.now() - asked)
      memory.all = Math.max(memory.all, process.memoryUsage().rss)
      await setTimeout(50)
    }
  })()
  const receipt = await intake.finished(job)
  const seconds = (performance.now() - begun) / 1000
  ended = true
  await asking
  if (receipt.verdict !== 'taken' || receipt.rowsTaken !== rows) {
    throw new Error(
      JSON.stringify([receipt.verdict, receipt.problem, receipt.refused[0], receipt.doubtCounts]),
    )
  }
  await intake.close()
  await store.close()
  const stored = 'file' in location ? statSync(location.file).size : 0
  const gaps = notices.slice(1).map((at, i) => at - (notices[i] as number))
  const ms = (value: number | undefined) => `${Math.round(value ?? 0)} ms`
  const mib = (bytes: number) => `${Math.round(bytes / 1024 ** 2)} MiB`
  console.log(
    [
      `${seconds.toFixed(2)} s`,
      'file' in location ? `SQLite, ${(stored / rows).toFixed(1)} bytes a measurement` : 'PostgreSQL',
      `greatest memory ${mib(memory.meanwhile)} until the commit, ${mib(memory.all)} with the new chart`,
      `${answers.meanwhile.length} charts meanwhile: median ${ms(median(answers.meanwhile))}, slowest ${ms(Math.max(...answers.meanwhile))}`,
      `charts of all builds from the commit on: ${answers.after.map(ms).join(', ') || 'none'}`,
      `${notices.length} notices of progress, ${ms(Math.max(...gaps))} apart at most`,
    ].join('; '),
  )
  return { seconds, peak: memory.meanwhile }
}

/** @returns seconds */
async function loadWithDuck(database: string, path: string, threads: number): Promise<number> {
  const { DuckDBInstance } = await import('@duckdb/node-api')
  const instance = await DuckDBInstance.create(database, { threads: String(threads) })
  const connection = await instance.connect()
  const begun = performance.now()
  await connection.run(`create table measurement as select * from read_csv('${path}')`)
  const seconds = (performance.now() - begun) / 1000
  connection.closeSync()
  instance.closeSync()
  rmSync(database, { force: true })
  return seconds
}

/** Write so many rows, of parts numbered from `firstPart`. */
function generate(path: string, rows: number, firstPart: number): void {
  const file = openSync(path, 'w')
  const put = (text: string) => writeSync(file, text)
  put(
    'part_number,revision,serial,build,furnace_load,tray,tray_place,bed_x,bed_y,bed_z,characteristic,value,unit,stage,measured_at,gauge,inspector\n',
  )
  let state = 1 + firstPart
  const random = () => {
    // Minimal standard generator of Park and Miller, Communications of the ACM 31 (1988), 1192–1201.
    state = (state * 48_271) % 2_147_483_647
    return state / 2_147_483_647
  }
  let text = ''
  for (let row = 0; row < rows; row++) {
    const part = firstPart + Math.floor(row / CHARACTERISTICS)
    const build = Math.floor(part / PARTS)
    const place = part % PARTS
    const minute = new Date(Date.UTC(2026, 0, 1) + (part % 100_000) * 300_000).toISOString().slice(0, 16)
    const value = (10 + (row % CHARACTERISTICS) + (random() - 0.5) / 10).toFixed(4)
    text += `HB-204,C,S${100_000 + part},B${1000 + build},L${500 + build},${1 + (place % 6)},${String.fromCharCode(65 + (place % 8))}${1 + (place % 6)},${20 + (place % 8) * 22.5},${15 + (place % 6) * 30},${10 + (place % 3) * 40},${1 + (row % CHARACTERISTICS)},${value},mm,sintered,${minute},CMM-1,J. Doe\n`
    if (text.length > 1e6) {
      put(text)
      text = ''
    }
  }
  put(text)
  closeSync(file)
}
