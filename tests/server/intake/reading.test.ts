import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { CHARACTERISTICS, openShop, type Shop } from './shop.ts'

let shop: Shop

beforeEach(async () => {
  shop = await openShop()
  await shop.bring(CHARACTERISTICS)
})
afterEach(() => shop.close())

const WIDE = 'serial;build;Overall length;Bore\nS1;B1;42,01;8,01\nS2;B1;42,02;8,02\n'
const DATED = 'part_number,revision,serial,build,characteristic,value,date\nHB-204,C,S1,B1,1,42.01,3/4/2026\n'

describe('a preview', () => {
  it('shows shape, columns, first rows and questions, and changes nothing', async () => {
    const before = shop.everything()
    const receipt = await shop.bring(WIDE, { preview: true })
    expect(receipt).toMatchObject({ verdict: 'asking', importId: null, rowsTaken: 0, problem: null })
    expect(receipt.reading).toMatchObject({
      shape: 'part-a-row',
      headingLine: 1,
      decimalMark: ',',
      values: 'actual',
    })
    expect(receipt.reading?.columns.map(({ position, role }) => [position, role])).toEqual([
      [1, 'serial'],
      [2, 'build'],
      [3, 'values'],
      [4, 'values'],
    ])
    expect(receipt.reading?.rows[1]).toEqual({
      line: 2,
      position: 4,
      fields: { serial: 'S1', build: 'B1', characteristic: 'Bore', value: '8,01' },
    })
    // Both headings are characteristics of the one part number that is on record.
    expect(receipt.reading?.questions).toMatchObject([
      { about: 'part-number', suggested: 'HB-204', waits: true },
    ])
    expect(shop.everything()).toBe(before)
  })
})

describe('what only a person can say', () => {
  it('is asked, and then remembered for files of the same layout', async () => {
    expect((await shop.bring(WIDE)).verdict).toBe('asking')
    const answered = await shop.bring(WIDE, { partNumber: 'HB-204' })
    expect(answered).toMatchObject({ verdict: 'taken', rowsTaken: 4 })
    const next = await shop.bring(WIDE.replace('S1;B1;42,01', 'S3;B1;42,03').replace('S2', 'S4'))
    expect(next).toMatchObject({ verdict: 'taken', rowsTaken: 4 })
    expect(next.reading?.remembered?.who).toBe('M. Inspector')
    expect(next.notes.map(({ text }) => text).join()).toMatch(/as M\. Inspector decided .* HB-204/)
  })

  it('the order of day and month, once', async () => {
    const asked = await shop.bring(DATED)
    expect(asked.verdict).toBe('refused')
    expect(asked.reading?.questions).toMatchObject([{ about: 'date-order', waits: true }])
    const answered = await shop.bring(DATED, { layout: { dateOrder: 'month-day' } })
    expect(answered.verdict).toBe('taken')
    const next = await shop.bring(DATED.replace('S1', 'S2'))
    expect(next.verdict).toBe('taken')
    const values = await shop.store.values(1, 1, 'sintered')
    const march = Date.UTC(2026, 2, 4) / 1000
    expect(values.map((v) => v.measuredAt)).toEqual([march, march])
  })

  it('what the comma of a number is, where it may part thousands', async () => {
    const file = 'part_number,revision,serial,build,1,2\nHB-204,C,S1,B1,"41,990","8,010"\n'
    const asked = await shop.bring(file)
    expect(asked).toMatchObject({ verdict: 'asking' })
    expect(asked.reading?.questions).toMatchObject([{ about: 'decimal-mark', waits: true }])
    expect((await shop.bring(file, { layout: { decimalMark: ',' } })).verdict).toBe('taken')
    expect((await shop.store.values(1, 1, 'sintered')).map((v) => v.value)).toEqual([41.99])
    const thousands =
      'part_number,revision,serial,build,characteristic,value,unit\nHB-204,C,S2,B1,1,"41,991",um\n'
    expect((await shop.bring(thousands, { layout: { decimalMark: '.' }, convertUnits: true })).verdict).toBe(
      'taken',
    )
    expect((await shop.store.values(1, 1, 'sintered')).map((v) => v.value)).toEqual([41.99, 41.991])
  })

  it('the build that new parts were printed in', async () => {
    const file = 'part_number,revision,serial,characteristic,value\nHB-204,C,S1,1,42.01\n'
    const asked = await shop.bring(file)
    expect(asked.reading?.questions).toMatchObject([{ about: 'build' }])
    expect((await shop.bring(file, { build: 'B7' })).verdict).toBe('taken')
    expect((await shop.store.builds(1, 'sintered')).map(({ name }) => name)).toEqual(['B7'])
  })

  it('a column of numbers that is no characteristic', async () => {
    const file = 'part_number,revision,serial,build,Bore,Bohre\nHB-204,C,S1,B1,8.01,8.02\n'
    const asked = await shop.bring(file)
    expect(asked.verdict).toBe('asking')
    expect(asked.reading?.questions).toMatchObject([{ about: 'column', position: 6 }])
    const answered = await shop.bring(file, { layout: { columns: { 6: 'none' } } })
    expect(answered).toMatchObject({ verdict: 'taken', rowsTaken: 1 })
  })

  it('whether small numbers are deviations', async () => {
    const file =
      'Part number;HB-204;;\nRevision;C;;\nBuild;B1;;\nCharacteristic;Nominal;S1;S2\n1;42;0,02;-0,01\n2;8;0,01;0,01\n11;3;0,1;0\n'
    const choices = {
      layout: { shape: 'characteristic-a-row', columns: { 3: 'values', 4: 'values' } },
    } as const
    const asked = await shop.bring(file, choices)
    expect(asked.reading?.questions).toMatchObject([{ about: 'values', suggested: 'deviation' }])
    const answered = await shop.bring(file, { layout: { ...choices.layout, values: 'deviation' } })
    expect(answered.verdict).toBe('taken')
    expect((await shop.store.values(1, 1, 'sintered')).map((v) => v.value)).toEqual([42.02, 41.99])
  })

  it('what the columns of a file of unknown words are', async () => {
    const file = 'HB-204 C\n\nfoo|bar|baz|qux\nS1|B1|1|42.01\nS2|B1|1|42.02\n'
    expect((await shop.bring(file)).verdict).toBe('refused')
    const choices = {
      partNumber: 'HB-204',
      layout: {
        headingLine: 3,
        columns: { 1: 'serial', 2: 'build', 3: 'characteristic', 4: 'value' },
      },
    }
    expect(await shop.bring(file, choices)).toMatchObject({ verdict: 'taken', rowsTaken: 2 })
    expect(await shop.bring(file.replace('S1', 'S3').replace('S2', 'S4'))).toMatchObject({ verdict: 'taken' })
  })
})

describe('faults in other shapes', () => {
  it('are named by line, heading and place of their cell', async () => {
    const receipt = await shop.bring(WIDE.replace('8,02', 'eight'), { partNumber: 'HB-204' })
    expect(receipt.refused).toMatchObject([{ line: 3, column: 'Bore', position: 4, value: 'eight' }])
  })

  it('of a part are named by its own column', async () => {
    const receipt = await shop.bring(WIDE.replace('S2', ''), { partNumber: 'HB-204' })
    expect(receipt.refused).toMatchObject([
      { line: 3, column: 'serial', position: 1 },
      { line: 3, column: 'serial', position: 1 },
    ])
  })
})
