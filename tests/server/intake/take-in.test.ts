import { createHash } from 'node:crypto'
import { existsSync, readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { takeIn } from '../../../server/intake/take-in.ts'
import { CHARACTERISTICS, CHOICES, openShop, type Shop } from './shop.ts'

let shop: Shop

beforeEach(async () => {
  shop = await openShop()
  expect((await shop.bring(CHARACTERISTICS)).verdict).toBe('taken')
})
afterEach(() => shop.close())

const HEAD = 'part_number,revision,serial,build,characteristic,value\n'

describe('a good file of measurements', () => {
  it('is in the store with cells that sum its values up', async () => {
    const receipt = await shop.bring(
      `${HEAD}HB-204,C,S1,B1,1,42.01\nHB-204,C,S2,B1,1,42.03\nHB-204,C,S1,B1,2,8.06\n`,
    )
    expect(receipt).toMatchObject({
      verdict: 'taken',
      kind: 'measurements',
      dialect: 'UTF-8, comma, decimal point',
      rowsRead: 3,
      rowsTaken: 3,
      rowsRefused: 0,
      outOfSpecification: 1,
      partNumbers: [{ number: 'HB-204', revision: 'C' }],
      problem: null,
      remedies: [],
    })
    const [partNumber] = await shop.store.partNumbers()
    expect(partNumber).toMatchObject({ characteristics: 4, builds: 1, measurements: 3, lastBuild: 'B1' })
    const cells = await shop.store.cells(partNumber?.id as number, 'sintered')
    // By hand: mean of 42.01 and 42.03, squared deviations 0.01² each.
    expect(cells[0]).toMatchObject({ n: 2, min: 42.01, max: 42.03, furnaceLoadId: null })
    expect(cells[0]?.mean).toBeCloseTo(42.02, 12)
    expect(cells[0]?.m2).toBeCloseTo(0.0002, 12)
    expect(await shop.store.partsByBuild(partNumber?.id as number, 'sintered')).toEqual(new Map([[1, 2]]))
  })

  it('leads every value back to its line', async () => {
    await shop.bring(`${HEAD}HB-204,C,S1,B1,1,42.01\n\nHB-204,C,S2,B1,1,42.03\n`, {}, 'monday.csv')
    const [characteristic] = await shop.store.characteristics(1)
    const values = await shop.store.values(characteristic?.id as number, 1, 'sintered')
    expect(values.map((v) => [v.serial, v.value, v.line, v.fileName, v.importId])).toEqual([
      ['S1', 42.01, 2, 'monday.csv', 2],
      ['S2', 42.03, 4, 'monday.csv', 2],
    ])
  })

  it('takes in every column that a full file has', async () => {
    await shop.bring(
      'part_number,revision,serial,build,furnace_load,tray,tray_place,bed_x,bed_y,bed_z,characteristic,value,unit,stage,measured_at,gauge,inspector\n' +
        'HB-204,C,S1,B1,L7,2,B3,20.5,30,-1.25,1,42.01,mm,sintered,2026-03-02T08:15,CMM-1,M. Doe\n',
    )
    const [value] = await shop.store.values(1, 1, 'sintered')
    expect(value).toEqual({
      serial: 'S1',
      value: 42.01,
      replicate: 1,
      tray: '2',
      trayPlace: 'B3',
      bed: { x: 20.5, y: 30, z: -1.25 },
      furnaceLoad: 'L7',
      gauge: 'CMM-1',
      inspector: 'M. Doe',
      measuredAt: Date.UTC(2026, 2, 2, 8, 15) / 1000,
      importId: 2,
      fileName: 'brought.csv',
      line: 2,
    })
    expect((await shop.store.builds(1, 'sintered'))[0]?.gauges).toEqual(['CMM-1'])
  })

  it('is kept byte for byte under its hash', async () => {
    const content = `${HEAD}HB-204,C,S1,B1,1,42.01\r\n`
    const { sha256 } = await shop.bring(content)
    expect(sha256).toBe(createHash('sha256').update(content).digest('hex'))
    expect(readFileSync(join(shop.folder, 'files', sha256), 'utf8')).toBe(content)
  })

  it('says which builds and furnace loads were created, and what was passed over', async () => {
    const receipt = await shop.bring(
      'part_number,revision,serial,build,furnace_load,characteristic,value,remark\nHB-204,C,S1,B1,L1,1,42,ok\n',
    )
    const notes = receipt.notes.map((note) => note.text).join('\n')
    expect(notes).toMatch(/Builds that were not on record were created: B1/)
    expect(notes).toMatch(/Furnace loads that were not on record were created: L1/)
    expect(notes).toMatch(/passed over because their headings are not known: remark/)
    expect(notes).toMatch(/no column for the stage/)
    expect(receipt.columns).toContainEqual({ heading: 'remark', meaning: null })
    expect(receipt.columns).toContainEqual({ heading: 'serial', meaning: 'serial number' })
  })

  it('is known when the same bytes come again, and changes nothing', async () => {
    const content = `${HEAD}HB-204,C,S1,B1,1,42.01\n`
    const first = await shop.bring(content)
    const before = shop.everything()
    const again = await shop.bring(content, {}, 'other name.csv')
    expect(again).toMatchObject({
      verdict: 'known',
      importId: null,
      earlierImportId: first.importId,
      rowsTaken: 0,
    })
    expect(shop.everything()).toBe(before)
  })

  it('finds characteristics by exact name too', async () => {
    const receipt = await shop.bring(`${HEAD}HB-204,C,S1,B1,Bore,8.01\n`)
    expect(receipt.verdict).toBe('taken')
    const bore = (await shop.store.characteristics(1)).find((c) => c.name === 'Bore')
    expect((await shop.store.cellsOf(bore?.id as number, 'sintered'))[0]?.n).toBe(1)
  })

  it('may hold several stages, and repeats with replicate numbers', async () => {
    const receipt = await shop.bring(
      'part_number,revision,serial,build,characteristic,value,stage,replicate\n' +
        'HB-204,C,S1,B1,1,49.9,green,1\nHB-204,C,S1,B1,1,42,Sintered,1\nHB-204,C,S1,B1,1,42.02,as sintered,2\n',
    )
    expect(receipt.verdict).toBe('taken')
    expect((await shop.store.cellsOf(1, 'green'))[0]?.n).toBe(1)
    expect((await shop.store.cellsOf(1, 'sintered'))[0]?.n).toBe(2)
    expect(await shop.store.partsByBuild(1, 'sintered')).toEqual(new Map([[1, 1]]))
  })

  it('adds to the cells of earlier files as if all had come at once', async () => {
    await shop.bring(`${HEAD}HB-204,C,S1,B1,1,42.01\nHB-204,C,S2,B1,1,42.05\n`)
    await shop.bring(`${HEAD}HB-204,C,S3,B1,1,41.97\n`)
    const [cell] = await shop.store.cellsOf(1, 'sintered')
    // By hand: mean 42.01, deviations 0, 0.04, −0.04.
    expect(cell).toMatchObject({ n: 3, min: 41.97, max: 42.05 })
    expect(cell?.mean).toBeCloseTo(42.01, 12)
    expect(cell?.m2).toBeCloseTo(0.0032, 12)
  })
})

describe('what a part is', () => {
  it('a part known from before needs no build in later rows', async () => {
    await shop.bring(`${HEAD}HB-204,C,S1,B1,1,42.01\n`)
    const receipt = await shop.bring('part_number,revision,serial,characteristic,value\nHB-204,C,S1,2,8\n')
    expect(receipt.verdict).toBe('taken')
    expect((await shop.store.cellsOf(2, 'sintered'))[0]).toMatchObject({ n: 1, buildId: 1 })
  })

  it('its values move to the furnace load that a later file tells', async () => {
    await shop.bring(
      'part_number,revision,serial,build,characteristic,value,stage\n' +
        'HB-204,C,S1,B1,1,49.8,green\nHB-204,C,S2,B1,1,49.9,green\nHB-204,C,S3,B1,1,50.3,green\n',
    )
    const receipt = await shop.bring(
      'part_number,revision,serial,furnace_load,characteristic,value,stage\n' +
        'HB-204,C,S1,L1,1,42.00,sintered\nHB-204,C,S2,L1,1,42.02,sintered\nHB-204,C,S3,L2,1,42.04,sintered\n',
    )
    expect(receipt.verdict).toBe('taken')
    expect(receipt.notes.map((n) => n.text).join()).toMatch(/furnace load of 3 parts measured earlier/)
    const green = await shop.store.cellsOf(1, 'green')
    expect(green).toHaveLength(2)
    const [first, second] = [...green].sort((a, b) => (a.furnaceLoadId ?? 0) - (b.furnaceLoadId ?? 0))
    expect(first).toMatchObject({ furnaceLoadId: 1, n: 2, min: 49.8, max: 49.9 })
    expect(first?.mean).toBeCloseTo(49.85, 12)
    expect(first?.m2).toBeCloseTo(0.005, 12)
    expect(second).toMatchObject({ furnaceLoadId: 2, n: 1, mean: 50.3, m2: 0 })
    expect(await shop.store.values(1, 1, 'green')).toHaveLength(3)
  })

  it('parts whose load stays unknown keep their cell', async () => {
    await shop.bring(`${HEAD}HB-204,C,S1,B1,1,42.00\nHB-204,C,S2,B1,1,42.10\n`)
    await shop.bring('part_number,revision,serial,furnace_load,characteristic,value\nHB-204,C,S1,L1,2,8\n')
    const cells = await shop.store.cellsOf(1, 'sintered')
    expect(cells.map((cell) => [cell.furnaceLoadId, cell.n, cell.mean])).toEqual(
      expect.arrayContaining([
        [null, 1, 42.1],
        [1, 1, 42],
      ]),
    )
    expect(cells).toHaveLength(2)
  })

  it('takes its place from whichever file tells it', async () => {
    await shop.bring(`${HEAD}HB-204,C,S1,B1,1,42.00\n`)
    await shop.bring('part_number,revision,serial,tray,bed_x,characteristic,value\nHB-204,C,S1,3,12.5,2,8\n')
    const [value] = await shop.store.values(1, 1, 'sintered')
    expect(value).toMatchObject({ tray: '3', bed: { x: 12.5, y: null, z: null } })
  })
})

describe('characteristics that measurements bring along', () => {
  it('are created where the row defines them, limits added up as decimals', async () => {
    const receipt = await shop.bring(
      'part_number,revision,serial,build,characteristic,characteristic name,value,nominal,tolerance,axis\n' +
        'HB-204,C,S1,B1,20,Slot,25.5,25.4,0.1,Y\n',
    )
    // 25.4 + 0.1 is 25.5, and a part at exactly the limit conforms.
    expect(receipt).toMatchObject({ verdict: 'taken', outOfSpecification: 0 })
    expect(receipt.notes.map((n) => n.text).join()).toMatch(/created as the file defines them: 20/)
    const slot = (await shop.store.characteristics(1)).find((c) => c.designator === '20')
    expect(slot).toMatchObject({
      name: 'Slot',
      nominal: 25.4,
      lower: 25.3,
      upper: 25.5,
      unit: 'mm',
      axis: 'Y',
    })
  })

  it('are created without limits under a part number that is new too, and get them later', async () => {
    const receipt = await shop.bring(`${HEAD}NEW-1,A,S1,B1,1,5.5\nNEW-1,A,S1,B1,2,6.5\n`)
    expect(receipt.verdict).toBe('taken')
    const notes = receipt.notes.map((n) => n.text).join('\n')
    expect(notes).toMatch(/Part numbers that were not on record were created: NEW-1 revision A/)
    expect(notes).toMatch(/created without limits.*1, 2/)
    const later = await shop.bring(
      'part_number,revision,designator,name,kind,nominal,lower,upper,unit\nNEW-1,A,1,Web,thickness,5.5,5.4,5.6,mm\n',
    )
    expect(later.verdict).toBe('taken')
    const id = (await shop.store.partNumber('NEW-1', 'A'))?.id as number
    expect((await shop.store.characteristics(id))[0]).toMatchObject({
      name: 'Web',
      kind: 'thickness',
      lower: 5.4,
    })
  })
})

describe('units', () => {
  const inches = 'part_number,revision,serial,build,characteristic,value,unit\nHB-204,C,S1,B1,1,1.655,in\n'

  it('another unit than that of the characteristic is refused, with what it would be', async () => {
    const before = shop.everything()
    const receipt = await shop.bring(inches)
    expect(receipt).toMatchObject({ verdict: 'refused', remedies: ['convert-units'] })
    // 1.655 · 25.4 = 42.037 exactly.
    expect(receipt.refused[0]).toMatchObject({ line: 2, column: 'unit', value: 'in' })
    expect(receipt.refused[0]?.reason).toMatch(/1\.655 in is 42\.037 mm/)
    expect(shop.everything()).toBe(before)
  })

  it('and converted exactly on request', async () => {
    const receipt = await shop.bring(inches, { convertUnits: true })
    expect(receipt.verdict).toBe('taken')
    expect(receipt.notes.map((n) => n.text)).toContain('1 value was converted from in to mm.')
    expect((await shop.store.values(1, 1, 'sintered'))[0]?.value).toBe(42.037)
  })

  it('a unit in the heading of the values counts', async () => {
    const receipt = await shop.bring(
      'part_number,revision,serial,build,characteristic,Value [µm]\nHB-204,C,S1,B1,1,42010\n',
      { convertUnits: true },
    )
    expect(receipt.verdict).toBe('taken')
    expect((await shop.store.values(1, 1, 'sintered'))[0]?.value).toBe(42.01)
  })

  it('degrees convert into nothing', async () => {
    const receipt = await shop.bring(inches.replace(',1,1.655', ',11,3'), { convertUnits: true })
    expect(receipt).toMatchObject({ verdict: 'refused', remedies: [] })
    expect(receipt.refused[0]?.reason).toMatch(/measured in deg, which in cannot be converted to/)
  })
})

describe('part numbers', () => {
  const without = 'serial,build,characteristic,value\nS1,B1,1,42\n'

  it('a file that names none is refused until somebody names it', async () => {
    const before = shop.everything()
    const receipt = await shop.bring(without)
    expect(receipt).toMatchObject({ verdict: 'refused', remedies: ['name-part-number'] })
    expect(receipt.refused[0]).toMatchObject({ line: 2, column: null })
    expect(shop.everything()).toBe(before)
    expect((await shop.bring(without, { partNumber: 'HB-204', revision: 'C' })).verdict).toBe('taken')
  })

  it('the only revision on record is taken where none is named', async () => {
    const receipt = await shop.bring(without, { partNumber: 'HB-204' })
    expect(receipt.partNumbers).toEqual([{ number: 'HB-204', revision: 'C' }])
  })

  it('of several revisions one must be named', async () => {
    await shop.bring(CHARACTERISTICS.replaceAll('HB-204,C', 'HB-204,D'))
    const receipt = await shop.bring(without, { partNumber: 'HB-204' })
    expect(receipt).toMatchObject({ verdict: 'refused', remedies: ['name-part-number'] })
    expect(receipt.refused[0]?.reason).toMatch(/revisions C, D/)
  })
})

describe('everything or nothing', () => {
  const mixed = `${HEAD}HB-204,C,S1,B1,1,42.01\nHB-204,C,S2,B2,1,forty-two\nHB-204,C,S3,B1,1,42.02\n`

  it('one bad row refuses the file', async () => {
    const before = shop.everything()
    const receipt = await shop.bring(mixed)
    expect(receipt).toMatchObject({
      verdict: 'refused',
      importId: null,
      rowsRead: 3,
      rowsTaken: 0,
      rowsRefused: 1,
      remedies: ['take-good-rows'],
      refused: [{ line: 3, column: 'value', value: 'forty-two' }],
    })
    expect(shop.everything()).toBe(before)
    expect(existsSync(join(shop.folder, 'files', receipt.sha256))).toBe(false)
  })

  it('unless the good rows are chosen; a bad row leaves no trace, not even its build', async () => {
    const receipt = await shop.bring(mixed, { takeGoodRows: true })
    expect(receipt).toMatchObject({ verdict: 'taken-in-part', rowsTaken: 2, rowsRefused: 1 })
    expect((await shop.store.builds(1, 'sintered')).map((b) => b.name)).toEqual(['B1'])
    expect(shop.everything()).not.toContain('B2')
    expect(await shop.store.receipt(receipt.importId as number)).toEqual(receipt)
  })

  it('a file with no good row is refused either way', async () => {
    const receipt = await shop.bring(`${HEAD}HB-204,C,S1,B1,1,x\n`, { takeGoodRows: true })
    expect(receipt).toMatchObject({ verdict: 'refused', remedies: [] })
  })

  it.each([
    ['here', false],
    ['on a thread of its own', true],
  ])('stopping at any moment rolls back, written %s', async (_, aside) => {
    const shop = await openShop({ aside })
    try {
      await shop.bring(CHARACTERISTICS)
      await shop.bring(`${HEAD}HB-204,C,S1,B1,1,42\nHB-204,C,S2,B1,1,42\n`)
      const files = () => readdirSync(shop.folder, { recursive: true }).map(String)
      const lasting = () => files().filter((name) => !/-(wal|shm)$/.test(name))
      const path = join(shop.folder, 'big')
      const rows = Array.from(
        { length: 6000 },
        (_, i) => `HB-204,C,T${i % 3000},B${(i % 3000) % 7},${i < 3000 ? 1 : 2},${i < 3000 ? 42 : 8}`,
      )
      writeFileSync(path, HEAD + rows.join('\n'))
      const before = [shop.everything(), lasting().sort()]
      const take = async (stopAt: number) => {
        let asked = 0
        const receipt = await takeIn(
          shop.store,
          { path, fileName: 'big.csv', bytes: 1, sha256: '0'.repeat(64), isOurs: false },
          { ...CHOICES, takeGoodRows: true },
          { filesFolder: join(shop.folder, 'files'), isCancelled: () => asked++ === stopAt },
        )
        return { receipt, asked }
      }
      // Every moment at which it asks whether to stop, one after another, until it asks no more.
      const read: number[] = []
      for (;;) {
        const { receipt } = await take(read.length)
        if (receipt.verdict !== 'cancelled') {
          expect(receipt.verdict).toMatch(/^taken/)
          break
        }
        expect(receipt).toMatchObject({ importId: null, rowsTaken: 0 })
        expect([shop.everything(), lasting().sort()]).toEqual(before)
        read.push(receipt.rowsRead)
      }
      expect(read.length).toBeGreaterThan(5)
      // The last one comes when everything is written.
      expect(read.at(-1)).toBe(6000)
      expect(lasting()).toContain(join('files', '0'.repeat(64)))
    } finally {
      await shop.close()
    }
  })
})
