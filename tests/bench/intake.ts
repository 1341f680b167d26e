/**
 * Taking in a large file of measurements, with all checks and the commit, beside DuckDB loading the same file into a
 * table of its own, in one run:
 *
 *     npx tsx tests/bench/intake.ts [rows]
 *
 * The file is made up here: builds of 48 parts with 16 characteristics each, in the order in which a measuring
 * machine writes them, part after part. 1 000 000 rows unless said otherwise. While the file is taken in, a chart is
 * asked for again and again, and memory is looked at.
 */
import { closeSync, createReadStream, mkdtempSync, openSync, rmSync, statSync, writeSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout } from 'node:timers/promises'
import { DuckDBInstance } from '@duckdb/node-api'
import { createApp } from '../../server/app.ts'
import { createIntake } from '../../server/intake/jobs.ts'
import { openStore } from '../../server/store/store.ts'

const CHARACTERISTICS = 16
const PARTS = 48
const rows = Number(process.argv[2] ?? 1_000_000)
const CHOICES = { who: 'bench', takeGoodRows: false, convertUnits: false, partNumber: null, revision: null }

const folder = mkdtempSync(join(tmpdir(), 'as-sintered-bench-'))
try {
  const path = join(folder, 'measurements.csv')
  const before = join(folder, 'before.csv')
  generate(path, rows, 0)
  // A record to chart meanwhile: sixty builds of the same part number.
  generate(before, 60 * PARTS * CHARACTERISTICS, 5_000_000)
  const store = await openStore({ file: join(folder, 'store.sqlite') })
  const intake = createIntake({ store, dataFolder: folder })
  const app = createApp({ store, intake, sampleFolder: folder, clientFolder: folder })
  await intake.finished(await intake.accept(createReadStream(before), 'before.csv', CHOICES))

  const job = await intake.accept(createReadStream(path), 'bench.csv', CHOICES)
  const begun = performance.now()
  const notices: number[] = []
  intake.subscribe(job, () => notices.push(performance.now()))
  let ended = false
  let memory = 0
  const answers: number[] = []
  const asking = (async () => {
    while (!ended) {
      const asked = performance.now()
      const answer = await app.request('/api/part-numbers/HB-204/C/characteristics/1/chart?stage=sintered')
      if (answer.status !== 200) throw new Error(`the chart answers ${answer.status}`)
      await answer.arrayBuffer()
      answers.push(performance.now() - asked)
      memory = Math.max(memory, process.memoryUsage().rss)
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

  const instance = await DuckDBInstance.create(join(folder, 'duck.db'))
  const connection = await instance.connect()
  const begunDuck = performance.now()
  await connection.run(`create table measurement as select * from read_csv('${path}')`)
  const duck = (performance.now() - begunDuck) / 1000
  connection.closeSync()

  const bytes = statSync(path).size
  const size = statSync(join(folder, 'store.sqlite')).size
  const gaps = notices.slice(1).map((at, i) => at - (notices[i] as number))
  const sorted = answers.sort((a, b) => a - b)
  const ms = (value: number | undefined) => `${Math.round(value ?? 0)} ms`
  console.log(`${rows} rows, ${(bytes / 1e6).toFixed(1)} MB`)
  console.log(
    `taken in, checked, stored and summed up within ${seconds.toFixed(2)} s: ${Math.round(rows / seconds)} rows a second`,
  )
  console.log(
    `DuckDB reads the same file into a table within ${duck.toFixed(2)} s: ${(seconds / duck).toFixed(1)} times as fast`,
  )
  console.log(`${(size / rows).toFixed(1)} bytes a measurement in the database`)
  console.log(`greatest memory ${Math.round(memory / 1024 ** 2)} MiB`)
  console.log(
    `${answers.length} charts meanwhile: median ${ms(sorted[sorted.length >> 1])}, slowest ${ms(sorted.at(-1))}`,
  )
  console.log(`${notices.length} notices of progress, ${ms(Math.max(...gaps))} apart at most`)
} finally {
  rmSync(folder, { recursive: true, force: true })
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
