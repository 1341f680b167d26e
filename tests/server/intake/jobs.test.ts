import { existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import type { ImportProgress } from '../../../server/contract/receipt.ts'
import { FileProblemError } from '../../../server/intake/faults.ts'
import { createIntake, type Intake } from '../../../server/intake/jobs.ts'
import { openStore, type Store } from '../../../server/store/store.ts'
import { correctDigits, univariateSet } from '../../src/description/nist-strd.ts'
import { CHARACTERISTICS, CHOICES } from './shop.ts'

/** Files handed to the real thread and a real database file. */
let folder: string
let store: Store
let intake: Intake

beforeEach(async () => {
  folder = mkdtempSync(join(tmpdir(), 'as-sintered-jobs-'))
  store = await openStore({ file: join(folder, 'store.sqlite') })
  intake = createIntake({ store, dataFolder: folder, byteLimit: 50_000_000 })
})
afterEach(async () => {
  await intake.close()
  await store.close()
  rmSync(folder, { recursive: true, force: true })
})

async function* stream(text: string, length = 100_000): AsyncGenerator<Uint8Array> {
  const bytes = Buffer.from(text)
  for (let i = 0; i < bytes.length; i += length) yield bytes.subarray(i, i + length)
}

/** Files that wait, in the folders of all processes; each of those holds its lock as well. */
const waiting = () =>
  readdirSync(join(folder, 'waiting')).flatMap((own) =>
    readdirSync(join(folder, 'waiting', own)).filter((name) => !name.startsWith('in-use')),
  )
const HEAD = 'part_number,revision,serial,build,characteristic,value\n'

/** A file that takes the thread long enough to be met under way. */
const LONG =
  HEAD + Array.from({ length: 300_000 }, (_, i) => `P,A,S${Math.floor(i / 10)},B1,${i % 10},42.5`).join('\n')

describe('a file on its way', () => {
  it('Michelson’s speeds of light have the certified mean and deviation in the cells', async () => {
    // NIST StRD Michelso: 100 values, here five builds of twenty parts.
    const { values, mean, sd } = univariateSet('Michelso')
    const csv =
      HEAD +
      values.map((v, i) => `SPEED,A,${i + 1},run ${Math.floor(i / 20) + 1},1,${v.toFixed(2)}\n`).join('')
    const job = await intake.accept(stream(csv, 7), 'michelson.csv', CHOICES)
    const receipt = await intake.finished(job)
    expect(receipt).toMatchObject({ verdict: 'taken', rowsTaken: 100, fileName: 'michelson.csv' })
    const cells = await store.cells(1, 'sintered')
    expect(cells.map((cell) => cell.n)).toEqual([20, 20, 20, 20, 20])
    const n = cells.reduce((sum, cell) => sum + cell.n, 0)
    const grand = cells.reduce((sum, cell) => sum + cell.n * cell.mean, 0) / n
    const squares = cells.reduce((sum, cell) => sum + cell.m2 + cell.n * (cell.mean - grand) ** 2, 0)
    expect(correctDigits(grand, mean)).toBeGreaterThan(13)
    expect(correctDigits(Math.sqrt(squares / (n - 1)), sd)).toBeGreaterThan(12)
    expect(waiting()).toEqual([])
    expect(existsSync(join(folder, 'files', receipt.sha256))).toBe(true)
    expect(readFileSync(intake.keptFile(receipt.sha256) as string, 'utf8')).toBe(csv)
  })

  it('reports from waiting to finished, and is read by others only when it is in', async () => {
    const job = await intake.accept(stream(LONG), 'long.csv', CHOICES)
    const seen: ImportProgress[] = []
    const begun = performance.now()
    let readMeanwhile = 0
    intake.subscribe(job, (progress) => {
      seen.push(progress)
      if (progress.state === 'reading' && progress.rowsRead > 0) {
        void store.partNumbers().then((all) => {
          readMeanwhile += all.length
        })
      }
    })
    const receipt = await intake.finished(job)
    expect(receipt).toMatchObject({ verdict: 'taken', rowsTaken: 300_000 })
    expect(readMeanwhile).toBe(0)
    expect(seen.at(-1)).toMatchObject({ state: 'finished', rowsRead: 300_000, receipt })
    expect(seen.some((p) => p.state === 'reading' && p.rowsRead > 0 && p.bytesRead < p.bytesTotal)).toBe(true)
    expect(seen.length).toBeGreaterThan(2 * Math.floor((performance.now() - begun) / 1000))
    expect((await store.partNumbers())[0]?.measurements).toBe(300_000)
  })

  it.each<[string, (progress: ImportProgress) => boolean]>([
    ['before it is read', () => true],
    ['as its first rows are read', ({ rowsRead }) => rowsRead > 0],
  ])('stopped %s leaves nothing behind, and may come again', async (_, isMoment) => {
    const short = `${HEAD}Q,A,X,B0,1,42.5\n`
    await intake.finished(await intake.accept(stream(short), 'before.csv', CHOICES))
    const kept = () => readdirSync(join(folder, 'files')).sort()
    const before = [kept(), await store.imports(10), await store.cells(1, 'sintered')]
    const job = await intake.accept(stream(LONG), 'long.csv', CHOICES)
    await new Promise<void>((resolve) => {
      intake.subscribe(job, (progress) => {
        if (isMoment(progress)) resolve()
      })
    })
    expect(intake.cancel(job)).toBe(true)
    const receipt = await intake.finished(job)
    expect(receipt).toMatchObject({ verdict: 'cancelled', importId: null, rowsTaken: 0 })
    expect([kept(), await store.imports(10), await store.cells(1, 'sintered')]).toEqual(before)
    expect(await store.verifyRecord()).toMatchObject({ entries: 1, faultCount: 0 })
    expect(waiting()).toEqual([])
    expect(intake.cancel(job)).toBe(false)
    expect(await intake.retry(job, CHOICES)).toBe(false)
    const again = LONG.slice(0, LONG.indexOf('\n', 100_000))
    expect((await intake.finished(await intake.accept(stream(again), 'again.csv', CHOICES))).verdict).toBe(
      'taken',
    )
  })

  it('can be stopped while it waits behind another', async () => {
    const first = await intake.accept(stream(LONG), 'first.csv', CHOICES)
    const second = await intake.accept(stream(`${HEAD}P,A,X,B,1,5\n`), 'second.csv', CHOICES)
    expect(intake.progress(second)?.state).toBe('waiting')
    intake.cancel(second)
    expect((await intake.finished(second)).verdict).toBe('cancelled')
    expect(waiting()).toHaveLength(1)
    expect((await intake.finished(first)).verdict).toBe('taken')
    expect(waiting()).toEqual([])
  })

  it('can be tried again with other choices', async () => {
    await intake.finished(await intake.accept(stream(CHARACTERISTICS), 'drawing.csv', CHOICES))
    const bad = `${HEAD}HB-204,C,S1,B1,1,42\nHB-204,C,S2,B1,1,x\n`
    const job = await intake.accept(stream(bad), 'bad.csv', CHOICES)
    expect(await intake.finished(job)).toMatchObject({ verdict: 'refused', remedies: ['take-good-rows'] })
    expect(waiting()).toHaveLength(1)
    expect(await intake.retry(job, { ...CHOICES, takeGoodRows: true })).toBe(true)
    expect(await intake.finished(job)).toMatchObject({ verdict: 'taken-in-part', rowsTaken: 1 })
    expect(waiting()).toEqual([])
    expect(await intake.retry(job, CHOICES)).toBe(false)
    expect(await intake.retry('no such job', CHOICES)).toBe(false)
  })

  it('larger than the limit is refused while it comes', async () => {
    const endless = (async function* () {
      for (;;) yield Buffer.alloc(1_000_000, 'a')
    })()
    await expect(intake.accept(endless, 'endless.csv', CHOICES)).rejects.toThrow(FileProblemError)
    expect(waiting()).toEqual([])
  })

  it('that breaks off leaves nothing behind', async () => {
    const broken = (async function* () {
      yield Buffer.from(HEAD)
      throw new Error('connection lost')
    })()
    await expect(intake.accept(broken, 'broken.csv', CHOICES)).rejects.toThrow('connection lost')
    expect(waiting()).toEqual([])
  })

  it('is unknown under another name', () => {
    expect(intake.progress('nothing')).toBeNull()
    expect(intake.cancel('nothing')).toBe(false)
    expect(intake.keptFile('../store.sqlite')).toBeNull()
    expect(intake.keptFile('0'.repeat(64))).toBeNull()
  })
})

describe('a shop in folders', () => {
  const lay = (shop: string, files: Record<string, string>) => {
    for (const [name, content] of Object.entries(files)) {
      mkdirSync(join(shop, name, '..'), { recursive: true })
      writeFileSync(join(shop, name), content)
    }
    return shop
  }

  it('is taken in folder by folder, whatever the order of their names', async () => {
    const shop = lay(join(folder, 'shop'), {
      'measurements/1.csv':
        'part_number,revision,serial,build,furnace_load,characteristic,value\nHB-204,C,S1,B1,L1,1,42\n',
      'furnace-loads/loads.csv':
        'furnace_load,sintered_at,furnace,profile,atmosphere\nL1,2026-03-04,F1,P9,hydrogen\n',
      'characteristics/HB-204.csv': CHARACTERISTICS,
      'builds/builds.csv': 'build,printed_at,printer,powder_lot,humidity\nB1,2026-03-02,PR-1,K5,41 %\n',
      'measurements/notes.txt': 'not a table',
    })
    const receipt = await intake.finished(await intake.acceptFolder(shop))
    expect(receipt).toMatchObject({
      verdict: 'taken',
      rowsTaken: 7,
      partNumbers: [{ number: 'HB-204', revision: 'C' }],
    })
    expect(await store.imports(10)).toHaveLength(4)
    const [build] = await store.builds(1, 'sintered')
    expect(build).toMatchObject({
      name: 'B1',
      printer: 'PR-1',
      powderLot: 'K5',
      conditions: { humidity: '41 %' },
      furnaces: ['F1'],
      printedAt: Date.UTC(2026, 2, 2) / 1000,
    })
    expect(await intake.finished(await intake.acceptFolder(shop))).toMatchObject({
      verdict: 'known',
      rowsTaken: 0,
    })
  })

  it('ends with the first file that is refused', async () => {
    const shop = lay(join(folder, 'shop'), {
      'measurements/1.csv': `${HEAD}HB-204,C,S1,B1,1,42\n`,
      'measurements/2.csv': `${HEAD}HB-204,C,S2,B1,1,x\n`,
      'measurements/10.csv': `${HEAD}HB-204,C,S3,B1,1,42\n`,
    })
    const receipt = await intake.finished(await intake.acceptFolder(shop))
    expect(receipt).toMatchObject({ verdict: 'refused', fileName: '2.csv' })
    expect(receipt.notes.at(-1)?.text).toMatch(/1 of 3 files/)
  })
})
