import { gzipSync } from 'node:zlib'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { ImportChoices } from '../../../server/contract/receipt.ts'
import { processorMs } from '../../tools/processor-time.ts'
import { CHARACTERISTICS, openShop, type Shop } from './shop.ts'

/** Everything here must leave the database as it was, so one shop serves all. */
let shop: Shop
let before: string

beforeAll(async () => {
  shop = await openShop()
  await shop.bring(CHARACTERISTICS)
  await shop.bring(
    'part_number,revision,serial,build,furnace_load,tray,bed_x,characteristic,value\n' +
      'HB-204,C,S1,B1,L1,4,12.5,1,42.01\nHB-204,C,S2,B1,L1,4,20,1,42.02\n',
    {},
    'first.csv',
  )
  before = shop.everything()
})
afterAll(() => shop.close())

/** Columns of one row, by heading; a case says only what differs from a good row. */
function row(changes: Record<string, string>): string {
  const columns = {
    part_number: 'HB-204',
    revision: 'C',
    serial: 'S9',
    build: 'B1',
    characteristic: '1',
    value: '42.00',
    ...changes,
  }
  return `${Object.keys(columns).join(',')}\n${Object.values(columns).join(',')}\n`
}

interface Refusal {
  readonly title: string
  readonly content: string
  readonly line?: number
  readonly column: string | null
  readonly value?: string
  readonly reason: RegExp
  readonly choices?: Partial<ImportChoices>
}

const REFUSED_ROWS: readonly Refusal[] = [
  {
    title: 'one characteristic in two columns, by its designator and by its name',
    content: 'part_number,revision,serial,build,2,Bore\nHB-204,C,S9,B1,8.01,8.01\n',
    column: 'Bore',
    value: '8.01',
    reason: /same line gives another value of characteristic 2 on part S9/,
  },
  {
    title: 'text where a number belongs',
    content: row({ value: 'twelve' }),
    column: 'value',
    value: 'twelve',
    reason: /text where a number belongs/,
  },
  { title: 'an empty value', content: row({ value: '' }), column: 'value', reason: /number is needed/ },
  { title: 'a blank value', content: row({ value: '   ' }), column: 'value', reason: /number is needed/ },
  { title: 'NaN', content: row({ value: 'NaN' }), column: 'value', reason: /not a measured value/ },
  { title: 'infinity', content: row({ value: '-inf' }), column: 'value', reason: /not a measured value/ },
  {
    title: 'a number beyond all measures',
    content: row({ value: '1e400' }),
    column: 'value',
    reason: /too large/,
  },
  {
    title: 'a number that would become zero',
    content: row({ value: '1e-400' }),
    column: 'value',
    reason: /too small/,
  },
  {
    title: 'hexadecimal',
    content: row({ value: '0x2A' }),
    column: 'value',
    reason: /text where a number belongs/,
  },
  {
    title: 'a value with a unit that is none',
    content: row({ value: '42.0 ell' }),
    column: 'value',
    reason: /a unit that is not known/,
  },
  {
    title: 'a value with another unit behind it than the column says',
    content: row({ value: '42.0 mm', unit: 'in' }),
    column: 'value',
    reason: /says mm, but the row says in/,
  },
  {
    title: 'a thousands separator',
    content: row({ value: '"1,234"' }),
    column: 'value',
    reason: /could be 1234 or 1\.234/,
  },
  {
    title: 'an empty serial number',
    content: row({ serial: '' }),
    column: 'serial',
    reason: /names no part/,
  },
  {
    title: 'an empty characteristic',
    content: row({ characteristic: '' }),
    column: 'characteristic',
    reason: /names no characteristic/,
  },
  {
    title: 'an unknown characteristic',
    content: row({ characteristic: '7' }),
    column: 'characteristic',
    value: '7',
    reason: /Known are 1, 2, 10, 11\./,
  },
  {
    title: 'an unknown stage',
    content: row({ stage: 'brown' }),
    column: 'stage',
    reason: /green, sintered or finished/,
  },
  {
    title: 'a replicate that is none',
    content: row({ replicate: '1.5' }),
    column: 'replicate',
    reason: /whole number/,
  },
  { title: 'replicate zero', content: row({ replicate: '0' }), column: 'replicate', reason: /whole number/ },
  {
    title: 'an unknown unit',
    content: row({ unit: 'furlong' }),
    column: 'unit',
    reason: /Known are mm, in, um and deg/,
  },
  {
    title: 'a day that no calendar has',
    content: row({ measured_at: '2026-02-30' }),
    column: 'measured_at',
    reason: /no calendar/,
  },
  {
    title: 'an hour that no clock shows',
    content: row({ measured_at: '2026-02-03 25:00' }),
    column: 'measured_at',
    reason: /no clock/,
  },
  {
    title: 'a date in either order',
    content: row({ measured_at: '3/4/2026' }),
    column: 'measured_at',
    reason: /day\/month or month\/day/,
  },
  {
    title: 'a date that is none',
    content: row({ measured_at: 'last Monday' }),
    column: 'measured_at',
    reason: /not a date/,
  },
  {
    title: 'a bed coordinate that is no number',
    content: row({ bed_x: 'left' }),
    column: 'bed_x',
    reason: /text where a number belongs/,
  },
  {
    title: 'another build than recorded',
    content: row({ serial: 'S1', build: 'B2' }),
    column: 'build',
    value: 'B2',
    reason: /recorded in build B1, but the row says B2/,
  },
  {
    title: 'another furnace load than recorded',
    content: row({ serial: 'S1', furnace_load: 'L2' }),
    column: 'furnace_load',
    value: 'L2',
    reason: /recorded in furnace load L1, but the row says L2/,
  },
  {
    title: 'another tray than recorded',
    content: row({ serial: 'S1', tray: '5' }),
    column: 'tray',
    reason: /tray 4, not 5/,
  },
  {
    title: 'another place in the bed than recorded',
    content: row({ serial: 'S1', bed_x: '13' }),
    column: 'bed_x',
    reason: /X 12\.5 mm in the bed, not 13/,
  },
  {
    title: 'a new part without a build',
    content: row({ build: '' }),
    column: 'build',
    reason: /names no build/,
  },
  {
    title: 'a value that is on record',
    content: row({ serial: 'S1', value: '42.5' }),
    column: 'value',
    reason:
      /S1 has a value of characteristic 1 already \(sintered, replicate 1\), from import 2, first\.csv, line 2\. The same measurement need not come twice; give a repeat a replicate number/,
  },
  {
    title: 'a value that is in the file twice',
    content: `${row({})}HB-204,C,S9,B1,1,42.10\n`,
    line: 3,
    column: 'value',
    reason: /already \(sintered, replicate 1\), on line 2/,
  },
  {
    title: 'another build within the file',
    content: `${row({})}HB-204,C,S9,B2,2,8\n`,
    line: 3,
    column: 'build',
    reason: /recorded in build B1/,
  },
  {
    title: 'another nominal than recorded',
    content: row({ nominal: '43' }),
    column: 'nominal',
    reason: /nominal of characteristic 1 is 42 on record, but the row says 43/,
  },
  {
    title: 'another upper limit than recorded',
    content: row({ upper: '42.2' }),
    column: 'upper',
    reason: /upper limit of characteristic 1 is 42\.1/,
  },
  {
    title: 'an upper limit below the lower',
    content: row({ characteristic: '30', lower: '5', upper: '4' }),
    column: 'upper',
    reason: /upper limit 4 is below the lower limit 5/,
  },
  {
    title: 'a tolerance without nominal',
    content: row({ characteristic: '30', tolerance: '0.1' }),
    column: 'tolerance',
    reason: /needs a nominal/,
  },
  {
    title: 'limits at odds with the tolerance',
    content: row({ characteristic: '30', nominal: '5', tolerance: '0.1', upper: '5.2' }),
    column: 'upper',
    reason: /make it 5\.1/,
  },
  {
    title: 'a limit that is no number',
    content: row({ characteristic: '30', nominal: '5', upper: 'n/a' }),
    column: 'upper',
    reason: /not a measured value/,
  },
  {
    title: 'a flatness below zero',
    content: row({ characteristic: '10', value: '-0.01' }),
    column: 'value',
    reason: /flatness cannot be below zero/,
  },
  {
    title: 'too few fields',
    content: `${row({})}HB-204,C,S10,B1,1\n`,
    line: 3,
    column: null,
    reason: /has 5 fields, but there are 6 headings/,
  },
  {
    title: 'too many fields',
    content: `${row({})}HB-204,C,S10,B1,1,42,5\n`,
    line: 3,
    column: null,
    reason: /has 7 fields/,
  },
  {
    title: 'a name longer than any',
    content: row({ serial: 'S'.repeat(201) }),
    column: 'serial',
    reason: /longer than 200/,
  },
  {
    title: 'a decimal comma in a file of decimal points',
    content: `${row({})}HB-204,C,S10,B1,1,"42,05"\n`,
    line: 3,
    column: 'value',
    reason: /has a comma/,
  },
]

describe('rows that are refused', () => {
  for (const { title, content, line = 2, column, value, reason, choices } of REFUSED_ROWS) {
    it(title, async () => {
      const receipt = await shop.bring(content, choices)
      expect(receipt.problem).toBeNull()
      expect(receipt.verdict).toBe('refused')
      expect(receipt.refused).toHaveLength(1)
      expect(receipt.refused[0]).toMatchObject({ line, column })
      if (value !== undefined) expect(receipt.refused[0]?.value).toBe(value)
      expect(receipt.refused[0]?.reason).toMatch(reason)
      expect(receipt).toMatchObject({ importId: null, rowsTaken: 0, rowsRefused: 1 })
      expect(shop.everything()).toBe(before)
    })
  }

  it('are listed every one, in the order of the file, shortened where they are long', async () => {
    const body = Array.from(
      { length: 500 },
      (_, i) => `HB-204,C,T${i},B1,1,${i % 2 === 0 ? 'x'.repeat(300) : '42'}`,
    )
    const receipt = await shop.bring(
      `part_number,revision,serial,build,characteristic,value\n${body.join('\n')}`,
    )
    expect(receipt).toMatchObject({ rowsRead: 500, rowsRefused: 250 })
    expect(receipt.refused.map((r) => r.line)).toEqual(Array.from({ length: 250 }, (_, i) => 2 + 2 * i))
    expect(receipt.refused[0]?.value).toHaveLength(200)
    expect(shop.everything()).toBe(before)
  })
})

describe('definitions that are refused', () => {
  it('changed limits of a characteristic that parts were measured against', async () => {
    const receipt = await shop.bring(CHARACTERISTICS.replace('42.1,mm', '42.2,mm'))
    expect(receipt.verdict).toBe('refused')
    expect(receipt.refused[0]).toMatchObject({ line: 2, column: 'upper', value: '42.2' })
    expect(receipt.refused[0]?.reason).toMatch(/42\.1 on record.*A changed drawing is a new revision/)
    expect(shop.everything()).toBe(before)
  })

  it('two definitions of one characteristic in a file', async () => {
    const receipt = await shop.bring(
      'part_number,revision,designator,nominal,lower,upper\nHB-204,C,50,5,4.9,5.1\nHB-204,C,50,5,4.9,5.2\n',
    )
    expect(receipt.refused[0]).toMatchObject({ line: 3, column: 'upper' })
    expect(receipt.refused[0]?.reason).toMatch(/defined otherwise on line 2/)
    expect(shop.everything()).toBe(before)
  })

  it('a kind and an axis that are not known', async () => {
    const receipt = await shop.bring(
      'part_number,revision,designator,kind,axis,nominal\nHB-204,C,50,beauty,X,5\nHB-204,C,51,length,W,5\n',
    )
    expect(receipt.refused.map((r) => [r.line, r.column])).toEqual([
      [2, 'kind'],
      [3, 'axis'],
    ])
    expect(shop.everything()).toBe(before)
  })

  it('scale factors and reuse counts that cannot be', async () => {
    const receipt = await shop.bring(
      'build,printed_at,powder_reuse,scale_x\nB5,2026-01-05,2,18\nB6,2026-01-06,often,1.18\nB7,2026-13-06,1,1.18\n,2026-01-08,1,1.18\n',
    )
    expect(receipt.refused.map((r) => [r.line, r.column])).toEqual([
      [2, 'scale_x'],
      [3, 'powder_reuse'],
      [4, 'printed_at'],
      [5, 'build'],
    ])
    expect(shop.everything()).toBe(before)
  })
})

const HEAD = 'part_number,revision,serial,build,characteristic,value\n'

interface Problem {
  readonly title: string
  readonly content: string | Buffer
  readonly what: RegExp
  readonly where?: RegExp
  readonly next: RegExp
}

const PROBLEMS: readonly Problem[] = [
  { title: 'an empty file', content: '', what: /file is empty/, next: /Export it again/ },
  { title: 'a file of blank lines', content: '\r\n\n  \n', what: /file is empty/, next: /Export it again/ },
  { title: 'headings only', content: HEAD, what: /headings and no rows/, next: /Export it again/ },
  {
    title: 'a picture',
    content: Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 0, 0, 0, 13]),
    what: /picture \(PNG\)/,
    next: /saved as CSV/,
  },
  {
    title: 'a photograph',
    content: Buffer.from([0xff, 0xd8, 0xff, 0xe0, 0, 16, 74, 70]),
    what: /picture \(JPEG\)/,
    next: /saved as CSV/,
  },
  {
    title: 'a workbook',
    content: Buffer.from([0x50, 0x4b, 0x03, 0x04, 20, 0, 6, 0]),
    what: /workbook/,
    next: /save the sheet as CSV/,
  },
  {
    title: 'zero bytes in the middle',
    content: Buffer.concat([Buffer.from(HEAD), Buffer.from([0, 1, 2])]),
    what: /zero bytes/,
    next: /UTF-8/,
  },
  {
    title: 'a packed file that is cut off',
    content: gzipSync(Buffer.from(`${HEAD}HB-204,C,S9,B1,1,42\n`)).subarray(0, 40),
    what: /damaged or cut off/,
    next: /Pack or copy it again/,
  },
  {
    title: 'a packed file that grows without measure',
    content: gzipSync(Buffer.alloc(50_000_000, 'a,b\n')),
    what: /grows to more than 250 times its size/,
    next: /Unpack it by hand/,
  },
  {
    title: 'no heading that is known',
    content: 'colour,taste\nred,sweet\n',
    what: /holds headings that this program knows/,
    where: /line 1: "colour", "taste"/,
    next: /serial, characteristic and value/,
  },
  {
    title: 'headings that lack one',
    content: 'serial,characteristic,result_of_it\nS1,1,5\n',
    what: /value cannot be found/,
    where: /"result_of_it"/,
    next: /serial, characteristic and value/,
  },
  {
    title: 'two columns of values',
    content: 'serial,characteristic,value,Value\nS1,1,5,6\n',
    what: /More than one column means the same as "Value"/,
    next: /Rename or remove/,
  },
  {
    title: 'a quotation mark never closed',
    content: `${HEAD}HB-204,C,"S9,B1,1,42\nHB-204,C,S10,B1,1,42\n`,
    what: /on line 2 is never closed/,
    where: /line 2/,
    next: /Close the quotation mark/,
  },
  {
    title: 'a quotation mark inside a quoted field',
    content: `${HEAD}HB-204,C,S8,B1,1,42\nHB-204,C,"S"9",B1,1,42\n`,
    what: /line 3.*not doubled/,
    where: /line 3/,
    next: /twice/,
  },
]

describe('files that are refused as a whole', () => {
  for (const { title, content, what, where, next } of PROBLEMS) {
    it(title, async () => {
      const receipt = await shop.bring(content)
      expect(receipt).toMatchObject({ verdict: 'refused', importId: null, rowsTaken: 0, remedies: [] })
      expect(receipt.problem?.what).toMatch(what)
      if (where !== undefined) expect(receipt.problem?.where).toMatch(where)
      expect(receipt.problem?.next).toMatch(next)
      expect(shop.everything()).toBe(before)
    })
  }

  it.each([
    ['one measurement a row', `${HEAD}HB-204,C,S9,B1,1,42\nHB-204,C,S9,B`, 3],
    ['one part a row', 'part_number,revision,serial,build,1,2\nHB-204,C,S9,B1,42,8\nHB-204,C,S10,B1,42.0', 3],
  ])('that end in the middle of a row, which is said before anything else: %s', async (_, content, line) => {
    const receipt = await shop.bring(content)
    expect(receipt).toMatchObject({ verdict: 'refused', importId: null, remedies: ['take-good-rows'] })
    expect(receipt.problem?.what).toBe(
      `The file ends in the middle of line ${line}, and what came after it is missing.`,
    )
    expect(receipt.problem?.next).toMatch(/Export it again, and bring the whole file/)
    expect(receipt.refused.map((refused) => refused.line)).toEqual([line])
    expect(shop.everything()).toBe(before)
  })

  it('but a short row that a line end follows, or a last line without one, is no file cut off', async () => {
    for (const content of [`${HEAD}HB-204,C,S9,B1,1,42\nHB-204,C,S9,B\n`, `${HEAD}HB-204,C,S9,B1,1,no`]) {
      expect((await shop.bring(content)).problem).toBeNull()
    }
    expect(shop.everything()).toBe(before)
  })

  it('a line of 40 MB, quickly and in flat memory', async () => {
    const memory = process.memoryUsage().rss
    const bringBoth = async () => {
      const first = await shop.bring(Buffer.alloc(40_000_000, 'a'))
      expect(first.problem?.what).toMatch(/first line is longer than 1,000,000 characters/)
      const later = await shop.bring(
        Buffer.concat([
          Buffer.from(`${HEAD}HB-204,C,S9,B1,1,42\nHB-204,C,S8,"`),
          Buffer.alloc(40_000_000, 'a,'),
        ]),
      )
      expect(later.problem?.what).toMatch(/record that begins on line 3 is longer than 1,000,000 characters/)
      expect(later.problem?.next).toMatch(/never closed/)
    }
    expect(await processorMs(bringBoth, 1)).toBeLessThan(3000)
    // The two files themselves are 80 MB of it.
    expect(process.memoryUsage().rss - memory).toBeLessThan(250e6)
    expect(shop.everything()).toBe(before)
  })
})
