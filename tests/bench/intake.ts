/**
 * Time and size of taking in a large file of measurements, with all checks and the commit:
 *
 *     npx tsx tests/bench/intake.ts [rows]
 *
 * The file is made up here: builds of 48 parts with 16 characteristics each, in the order in which a measuring
 * machine writes them, part after part. 500 000 rows unless said otherwise.
 */
import { createHash } from 'node:crypto'
import { closeSync, createReadStream, mkdtempSync, openSync, rmSync, statSync, writeSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { takeIn } from '../../server/intake/take-in.ts'
import { openStore } from '../../server/store/store.ts'

const CHARACTERISTICS = 16
const PARTS = 48
const rows = Number(process.argv[2] ?? 500_000)

const folder = mkdtempSync(join(tmpdir(), 'as-sintered-bench-'))
try {
  const path = join(folder, 'measurements.csv')
  const sha256 = generate(path)
  const database = join(folder, 'store.sqlite')
  const store = await openStore({ file: database })
  const choices = { who: 'bench', takeGoodRows: false, convertUnits: false, partNumber: null, revision: null }
  const bytes = statSync(path).size
  let begun = performance.now()
  for await (const _ of createReadStream(path)) {
    // Reading alone, for comparison.
  }
  const reading = performance.now() - begun
  begun = performance.now()
  const receipt = await takeIn(store, { path, fileName: 'bench.csv', bytes, sha256 }, choices, {
    filesFolder: null,
  })
  const seconds = (performance.now() - begun) / 1000
  if (receipt.verdict !== 'taken' || receipt.rowsTaken !== rows)
    throw new Error(JSON.stringify(receipt.refused[0]))
  begun = performance.now()
  const [partNumber] = await store.partNumbers()
  if (partNumber === undefined) throw new Error('nothing was taken in')
  const builds = await store.builds(partNumber.id, 'sintered')
  const cells = await store.cells(partNumber.id, 'sintered')
  const looking = performance.now() - begun
  await store.close()
  const size = statSync(database).size
  console.log(
    `${rows} rows, ${(bytes / 1e6).toFixed(1)} MB, read as bytes in ${(reading / 1000).toFixed(2)} s`,
  )
  console.log(`taken in within ${seconds.toFixed(2)} s: ${Math.round(rows / seconds)} measurements a second`)
  console.log(`${(size / rows).toFixed(1)} bytes a measurement in the database`)
  console.log(`${builds.length} builds and ${cells.length} cells read in ${looking.toFixed(0)} ms`)
  console.log(`greatest memory ${Math.round(process.resourceUsage().maxRSS / 1024)} MiB`)
} finally {
  rmSync(folder, { recursive: true, force: true })
}

/** @returns the hash of what was written to `path` */
function generate(path: string): string {
  const hash = createHash('sha256')
  const file = openSync(path, 'w')
  const put = (text: string) => {
    hash.update(text)
    writeSync(file, text)
  }
  put(
    'part_number,revision,serial,build,furnace_load,tray,tray_place,bed_x,bed_y,bed_z,characteristic,value,unit,stage,measured_at,gauge,inspector\n',
  )
  let state = 1
  const random = () => {
    // Minimal standard generator of Park and Miller, Communications of the ACM 31 (1988), 1192–1201.
    state = (state * 48_271) % 2_147_483_647
    return state / 2_147_483_647
  }
  let text = ''
  for (let row = 0; row < rows; row++) {
    const part = Math.floor(row / CHARACTERISTICS)
    const build = Math.floor(part / PARTS)
    const place = part % PARTS
    const minute = new Date(Date.UTC(2026, 0, 1) + part * 300_000).toISOString().slice(0, 16)
    const value = (10 + (row % CHARACTERISTICS) + (random() - 0.5) / 10).toFixed(4)
    text += `HB-204,C,S${100_000 + part},B${1000 + build},L${500 + build},${1 + (place % 6)},${String.fromCharCode(65 + (place % 8))}${1 + (place % 6)},${20 + (place % 8) * 22.5},${15 + (place % 6) * 30},${10 + (place % 3) * 40},${1 + (row % CHARACTERISTICS)},${value},mm,sintered,${minute},CMM-1,J. Doe\n`
    if (text.length > 1e6) {
      put(text)
      text = ''
    }
  }
  put(text)
  closeSync(file)
  return hash.digest('hex')
}
