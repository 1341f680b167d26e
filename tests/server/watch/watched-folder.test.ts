import {
  appendFileSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  utimesSync,
  writeFileSync,
} from 'node:fs'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import type { Receipt } from '../../../server/contract/receipt.ts'
import { FileProblemError } from '../../../server/intake/faults.ts'
import { createIntake, type Intake } from '../../../server/intake/jobs.ts'
import { putAway } from '../../../server/watch/put-away.ts'
import { type WatchedFolder, watchFolder } from '../../../server/watch/watched-folder.ts'
import { CHARACTERISTICS, CHOICES, openShop, type Shop } from '../intake/shop.ts'

type WatchIntake = Pick<Intake, 'accept' | 'cancel' | 'finished'>

let shop: Shop
let folder: string
let said: string[]
let watch: WatchedFolder

/** Takes files in on this thread, through the whole pipeline. */
function intakeOf(into: Shop): WatchIntake {
  const receipts: Receipt[] = []
  return {
    async accept(body, fileName, choices) {
      const pieces: Uint8Array[] = []
      for await (const piece of body) pieces.push(piece)
      receipts.push(await into.bring(Buffer.concat(pieces), choices, fileName))
      return String(receipts.length - 1)
    },
    cancel: () => false,
    finished: async (job) => receipts[Number(job)] as Receipt,
  }
}

function watchWith(intake: WatchIntake): WatchedFolder {
  return watchFolder({ folder, intake, say: (line) => said.push(line) })
}

beforeEach(async () => {
  shop = await openShop()
  folder = join(shop.folder, 'watched')
  mkdirSync(folder)
  said = []
  watch = watchWith(intakeOf(shop))
})
afterEach(async () => {
  await watch.stop()
  await shop.close()
})

const put = (name: string, content: string) => writeFileSync(join(folder, name), content)
const at = (...path: string[]) => join(folder, ...path)
const list = (name: string) => (existsSync(at(name)) ? readdirSync(at(name)).sort() : [])
const receiptOf = (...path: string[]) => JSON.parse(readFileSync(at(...path), 'utf8')) as Receipt
const ROWS = 'part_number,revision,serial,build,characteristic,value\nHB-204,C,S1,B1,1,42.01\n'
const BAD = ROWS.replace('42.01', 'soon')

describe('a file that nobody can be asked about', () => {
  // 4.201 would be 42.01 with its decimal point put back.
  const DOUBTFUL = ROWS.replace('42.01', '4.201')

  it('is refused whole with its doubts, unless doubtful values are to be kept', async () => {
    put('characteristics.csv', CHARACTERISTICS)
    await watch.look()
    await watch.look()
    put('doubtful.csv', DOUBTFUL)
    await watch.look()
    await watch.look()
    expect(list('refused')).toContain('doubtful.csv')
    expect(receiptOf('refused', 'doubtful.csv.receipt.json')).toMatchObject({
      verdict: 'asking',
      rowsTaken: 0,
    })
    const text = readFileSync(at('refused', 'doubtful.csv.receipt.txt'), 'utf8')
    expect(text).toMatch(/line 2: 4\.201 is far from .* it would be 42\.01\. It waits for a decision\./)
    await watch.stop()
    const unattended = { takeGoodRows: false, keepDoubtful: true }
    watch = watchFolder({ folder, intake: intakeOf(shop), unattended, say: (line) => said.push(line) })
    put('doubtful.csv', DOUBTFUL)
    await watch.look()
    await watch.look()
    expect(receiptOf('done', 'doubtful.csv.receipt.json')).toMatchObject({ verdict: 'taken', rowsTaken: 1 })
  })

  it('is refused whole for one bad row, unless the good ones are to be taken', async () => {
    put('characteristics.csv', CHARACTERISTICS)
    const mixed = `${ROWS}HB-204,C,S2,B1,1,soon\n`
    await watch.look()
    await watch.look()
    put('mixed.csv', mixed)
    await watch.look()
    await watch.look()
    expect(receiptOf('refused', 'mixed.csv.receipt.json')).toMatchObject({ verdict: 'refused', rowsTaken: 0 })
    await watch.stop()
    const unattended = { takeGoodRows: true, keepDoubtful: false }
    watch = watchFolder({ folder, intake: intakeOf(shop), unattended, say: (line) => said.push(line) })
    put('mixed.csv', mixed)
    await watch.look()
    await watch.look()
    expect(receiptOf('done', 'mixed.csv.receipt.json')).toMatchObject({
      verdict: 'taken-in-part',
      rowsTaken: 1,
    })
  })
})

describe('a file in the watched folder', () => {
  it('is taken in at the second look and moved with its receipt, as JSON and as text', async () => {
    put('characteristics.csv', CHARACTERISTICS)
    await watch.look()
    expect(await shop.store.partNumbers()).toEqual([])
    await watch.look()
    expect((await shop.store.partNumbers())[0]).toMatchObject({ number: 'HB-204', characteristics: 4 })
    expect(list('.')).toEqual(['done'])
    expect(list('done')).toEqual([
      'characteristics.csv',
      'characteristics.csv.receipt.json',
      'characteristics.csv.receipt.txt',
    ])
    expect(readFileSync(at('done', 'characteristics.csv'), 'utf8')).toBe(CHARACTERISTICS)
    expect(receiptOf('done', 'characteristics.csv.receipt.json')).toMatchObject({
      verdict: 'taken',
      rowsTaken: 4,
      who: 'watched folder',
    })
    const text = readFileSync(at('done', 'characteristics.csv.receipt.txt'), 'utf8')
    expect(text).toMatch(/^characteristics\.csv\nTaken in\.\n/)
    expect(text).toMatch(/Rows taken +4\n/)
  })

  it('is left alone while it grows, or is written anew in the same length', async () => {
    put('growing.csv', ROWS)
    await watch.look()
    appendFileSync(at('growing.csv'), 'HB-204,C,S2,B1,1,42.02\n')
    await watch.look()
    utimesSync(at('growing.csv'), 1_000_000, 1_000_000)
    await watch.look()
    expect(list('.')).toEqual(['growing.csv'])
    await watch.look()
    expect(list('done')).toContain('growing.csv')
    expect(receiptOf('done', 'growing.csv.receipt.json').rowsTaken).toBe(2)
  })

  it('that is refused goes to the other folder, and the receipt names line and reason', async () => {
    put('bad.csv', BAD)
    const before = shop.everything()
    await watch.look()
    await watch.look()
    expect(shop.everything()).toBe(before)
    expect(list('refused')).toEqual(['bad.csv', 'bad.csv.receipt.json', 'bad.csv.receipt.txt'])
    expect(readFileSync(at('refused', 'bad.csv.receipt.txt'), 'utf8')).toMatch(/line 2, value: "soon"\./)
    expect(said).toEqual([expect.stringMatching(/^Refused bad\.csv.*bad\.csv\.receipt\.txt$/)])
  })

  it('comes after those that were written before it', async () => {
    put(
      'a-measurements.csv',
      'part_number,revision,serial,build,characteristic,value\nHB-204,C,S1,B1,Bore,8\n',
    )
    put('z-characteristics.csv', CHARACTERISTICS)
    utimesSync(at('z-characteristics.csv'), 1_000_000, 1_000_000)
    await watch.look()
    await watch.look()
    expect(list('refused')).toEqual([])
    expect((await shop.store.imports(9)).map((i) => i.fileName)).toEqual([
      'a-measurements.csv',
      'z-characteristics.csv',
    ])
  })

  it('of a name that is taken already gets a number, and nothing is written over', async () => {
    for (const value of ['42.01', '42.02', '42.03']) {
      put('monday.csv', ROWS.replace('42.01', value).replace('S1', `S-${value}`))
      await watch.look()
      await watch.look()
    }
    expect(list('done').filter((name) => name.endsWith('.csv'))).toEqual([
      'monday (2).csv',
      'monday (3).csv',
      'monday.csv',
    ])
    expect(receiptOf('done', 'monday (3).csv.receipt.json')).toMatchObject({ verdict: 'taken', importId: 3 })
    expect(readFileSync(at('done', 'monday.csv'), 'utf8')).toContain('42.01')
  })

  it('that is known already is said to be, and counts once', async () => {
    for (const name of ['one.csv', 'two.csv']) {
      put(name, ROWS)
      await watch.look()
      await watch.look()
    }
    expect(receiptOf('done', 'two.csv.receipt.json')).toMatchObject({ verdict: 'known', earlierImportId: 1 })
    expect((await shop.store.partNumbers())[0]?.measurements).toBe(1)
  })

  it('that is not finished, hidden, a link or a folder is passed over', async () => {
    put('.hidden.csv', ROWS)
    put('~$open.csv', ROWS)
    put('copying.csv.part', ROWS)
    mkdirSync(at('folder.csv'))
    writeFileSync(join(shop.folder, 'elsewhere.csv'), ROWS)
    symlinkSync(join(shop.folder, 'elsewhere.csv'), at('link.csv'))
    const before = list('.')
    for (let i = 0; i < 3; i++) await watch.look()
    expect(list('.')).toEqual(before)
    expect(await shop.store.imports(9)).toEqual([])
  })

  it('that the intake will not receive is refused with the reason', async () => {
    watch = watchWith({
      ...intakeOf(shop),
      accept: async () => {
        throw new FileProblemError('The file is larger than 1 MiB.', null, 'Split it.')
      },
    })
    put('huge.csv', ROWS)
    await watch.look()
    await watch.look()
    expect(readFileSync(at('refused', 'huge.csv.receipt.txt'), 'utf8')).toContain('larger than 1 MiB')
  })
})

describe('a program that is stopped in between', () => {
  it('before the receipt is on disk finds the file at its next start, and the bytes are known', async () => {
    put('monday.csv', ROWS)
    // As if it had stopped right after the import was committed.
    await shop.bring(ROWS, CHOICES, 'monday.csv')
    await watch.look()
    await watch.look()
    expect(receiptOf('done', 'monday.csv.receipt.json')).toMatchObject({
      verdict: 'known',
      earlierImportId: 1,
    })
    expect((await shop.store.partNumbers())[0]?.measurements).toBe(1)
  })

  it('between receipt and move keeps the first receipt and puts the file beside it', async () => {
    put('monday.csv', ROWS)
    const first = await shop.bring(ROWS, CHOICES, 'monday.csv')
    await putAway(at('monday.csv'), at('done'), first)
    // As if the move had not happened.
    rmSync(at('done', 'monday.csv'))
    put('monday.csv', ROWS)
    await watch.look()
    await watch.look()
    expect(list('done')).toEqual(['monday.csv', 'monday.csv.receipt.json', 'monday.csv.receipt.txt'])
    expect(receiptOf('done', 'monday.csv.receipt.json')).toMatchObject({ verdict: 'taken', importId: 1 })
  })

  it('leaves a receipt of other bytes alone', async () => {
    put('monday.csv', BAD)
    await watch.look()
    await watch.look()
    rmSync(at('refused', 'monday.csv'))
    put('monday.csv', BAD.replace('soon', 'later'))
    await watch.look()
    await watch.look()
    expect(list('refused').filter((name) => name.endsWith('.json'))).toEqual([
      'monday (2).csv.receipt.json',
      'monday.csv.receipt.json',
    ])
  })

  it('while a file is taken in leaves it where it is', async () => {
    watch = watchWith({
      accept: async () => 'job',
      cancel: () => true,
      finished: async () => ({ ...(await shop.bring('x')), verdict: 'cancelled' }),
    })
    put('monday.csv', ROWS)
    await watch.look()
    await watch.look()
    expect(list('.')).toEqual(['monday.csv'])
  })

  it('does not begin another look', async () => {
    put('monday.csv', ROWS)
    await watch.look()
    await watch.stop()
    await watch.look()
    expect(list('.')).toEqual(['monday.csv'])
  })
})

describe('what stands in the way', () => {
  it('is said once, and the file tried again', async () => {
    let failing = true
    const good = intakeOf(shop)
    watch = watchWith({
      ...good,
      accept: async (...given) => {
        if (failing) throw new Error('EBUSY: resource busy')
        return await good.accept(...given)
      },
    })
    put('locked.csv', ROWS)
    for (let i = 0; i < 4; i++) await watch.look()
    expect(said).toEqual([expect.stringMatching(/^locked\.csv could not be taken in.*EBUSY/)])
    expect(list('.')).toEqual(['locked.csv'])
    failing = false
    await watch.look()
    expect(list('done')).toContain('locked.csv')
  })

  it('may be the folder itself, as of a drive that is away for a while', async () => {
    rmSync(folder, { recursive: true })
    await watch.look()
    await watch.look()
    expect(said).toEqual([expect.stringMatching(/^The watched folder cannot be read/)])
    mkdirSync(folder)
    put('monday.csv', ROWS)
    await watch.look()
    await watch.look()
    expect(list('done')).toContain('monday.csv')
  })

  it('may be a writer that goes on while the file is read: then it is taken in as it is in the end', async () => {
    const good = intakeOf(shop)
    let cancelled = 0
    let written = false
    watch = watchWith({
      async accept(body, name, choices) {
        if (written) return await good.accept(body, name, choices)
        // Read as a real intake would, with the writer coming in behind; nothing of it may count.
        for await (const _ of body);
        appendFileSync(at('slow.csv'), 'HB-204,C,S2,B1,1,42.02\n')
        written = true
        return 'half'
      },
      cancel: (job) => {
        if (job === 'half') cancelled++
        return true
      },
      finished: async (job) =>
        job === 'half' ? { ...(await shop.bring('x')), verdict: 'cancelled' } : await good.finished(job),
    })
    put('slow.csv', ROWS)
    for (let i = 0; i < 4; i++) await watch.look()
    expect(cancelled).toBe(1)
    expect(receiptOf('done', 'slow.csv.receipt.json')).toMatchObject({ verdict: 'taken', rowsTaken: 2 })
  })
})

it('works with the intake on its own thread', async () => {
  const intake = createIntake({ store: shop.store, dataFolder: join(shop.folder, 'data') })
  watch = watchWith(intake)
  put('monday.csv', ROWS)
  await watch.look()
  await watch.look()
  await intake.close()
  expect(receiptOf('done', 'monday.csv.receipt.json')).toMatchObject({ verdict: 'taken', rowsTaken: 1 })
  expect((await shop.store.partNumbers())[0]?.measurements).toBe(1)
})
