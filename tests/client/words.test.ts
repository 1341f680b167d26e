import { describe, expect, it } from 'vitest'
import { problemIn, problemOf, RequestError } from '../../client/data/http.ts'
import { pastedFile } from '../../client/data/pasted-file.ts'
import { intakeAddress } from '../../client/data/upload.ts'
import { buildWords } from '../../client/words/build-words.ts'
import { MEASUREMENT_COLUMNS, MEASUREMENT_EXAMPLE } from '../../client/words/column-guide.ts'
import { cellText } from '../../client/words/figure-text.ts'
import { bytesText, counted, dayText, timeText } from '../../client/words/quantities.ts'
import { receiptGrounds, receiptHeadline } from '../../client/words/receipt.ts'
import { byReason } from '../../client/words/refused-reasons.ts'
import type { Doubt, Receipt, RefusedRow } from '../../server/contract/receipt.ts'
import { probabilityText } from '../../src/words/probability.ts'
import { plain } from '../../src/words/sentence.ts'
import { RECEIPT, REFUSED_RECEIPT, timeline } from './fixtures.ts'

const headline = (patch: Partial<Receipt>) => plain(receiptHeadline({ ...RECEIPT, ...patch }))

const doubt: Doubt = {
  kind: 'decimal-point',
  line: 2,
  column: 'value',
  position: 3,
  value: '4.2',
  serial: 'S1',
  characteristic: '1',
  text: '',
  likely: '42',
  rows: 1,
  waits: true,
  decision: 'waiting',
}

describe('refused rows', () => {
  const refused = (line: number, reason: string, column: string | null = 'value'): RefusedRow => ({
    line,
    column,
    value: '',
    reason,
  })

  it('are gathered by what is wrong with them, whatever part or value it is wrong with', () => {
    const rows = [
      refused(2, 'Part HB-1 has a value of characteristic 2 already, from import 7, line 3.'),
      refused(3, '"1..0" has more separators than a number can have.'),
      refused(4, 'Part HB-22 has a value of characteristic 14 already, from import 71, line 30.'),
      refused(5, '"abc" has more separators than a number can have.'),
      refused(6, 'The row names no part. Give its serial number.', 'serial'),
    ]
    expect(byReason(rows).map((alike) => alike.map(({ line }) => line))).toEqual([[2, 4], [3, 5], [6]])
  })

  it('are kept apart where another column is at fault', () => {
    expect(byReason([refused(2, 'too long', 'serial'), refused(3, 'too long', 'build')])).toHaveLength(2)
  })
})

describe('the sentence of a receipt', () => {
  it.each<[Partial<Receipt>, string]>([
    [{}, 'All 288 rows of 0459.csv are in.'],
    [{ rowsTaken: 1 }, 'The one row of 0459.csv is in.'],
    [
      { verdict: 'taken-in-part', rowsTaken: 285, rowsRefused: 3 },
      '285 rows of 0459.csv are in; 3 rows were refused.',
    ],
    [
      { verdict: 'taken-in-part', rowsTaken: 1, rowsRefused: 1 },
      '1 row of 0459.csv is in; 1 row was refused.',
    ],
    [
      { verdict: 'refused', rowsTaken: 0, rowsRefused: 3, rowsRead: 1536 },
      'Nothing of 0459.csv was taken in: 3 of 1,536 rows cannot be taken as they stand.',
    ],
    [
      { verdict: 'refused', problem: { what: 'The file is empty.', where: null, next: '' } },
      'Nothing of 0459.csv was taken in: the file is empty.',
    ],
    [
      { verdict: 'refused', problem: { what: 'UTF-16 text cannot be read.', where: null, next: '' } },
      'Nothing of 0459.csv was taken in: UTF-16 text cannot be read.',
    ],
    [
      { rowsRead: 289, rowsLeftOut: 1 },
      '288 of 289 rows of 0459.csv are in; 1 row was left out, as decided.',
    ],
    [
      { verdict: 'taken-in-part', rowsTaken: 285, rowsRefused: 3, rowsLeftOut: 2 },
      '285 rows of 0459.csv are in; 3 rows were refused, and 2 rows were left out, as decided.',
    ],
    [
      { verdict: 'asking', doubts: [doubt, { ...doubt, line: 3 }, { ...doubt, decision: 'kept' }] },
      '0459.csv waits for you to decide on 2 doubts: keep each as measured, or leave it out. Nothing was changed.',
    ],
    [
      { verdict: 'asking', doubts: [doubt] },
      '0459.csv waits for you to decide on one doubt: keep it as measured, or leave it out. Nothing was changed.',
    ],
    [
      { verdict: 'asking' },
      '0459.csv is read as shown below, and waits for you to take it in. Nothing was changed.',
    ],
    [
      { withdrawn: { who: 'I', at: 0, reason: 'wrong build.' } },
      '0459.csv was withdrawn: its 288 rows count no more.',
    ],
    [{ verdict: 'known' }, '0459.csv was taken in before, byte for byte. Nothing was changed.'],
    [{ verdict: 'cancelled' }, '0459.csv was stopped by hand. Nothing was changed.'],
  ])('%o', (patch, words) => {
    expect(headline(patch)).toBe(words)
  })

  it('rests on what was read, by whom and when', () => {
    const words = plain(receiptGrounds(RECEIPT))
    expect(words).toContain(
      'Read as measurements, UTF-8, comma, decimal point. 288 rows, 31.2 kB, handed in by Ines Quark',
    )
    expect(words).toContain('2 values lie outside the specification limits.')
    expect(plain(receiptGrounds(REFUSED_RECEIPT))).not.toContain('specification')
  })

  it('says who withdrew it and why, and that it may come again', () => {
    const words = plain(
      receiptGrounds({ ...RECEIPT, withdrawn: { who: 'Ines Quark', at: 0, reason: 'wrong build.' } }),
    )
    expect(words).toMatch(/Withdrawn by Ines Quark on 1970-01-01 \d\d:\d\d: wrong build\. It stands below/)
  })

  it('says nothing of rows or names where there are none', () => {
    const words = plain(
      receiptGrounds({ ...RECEIPT, kind: null, dialect: null, rowsRead: 0, who: 'not named' }),
    )
    expect(words.startsWith('31.2 kB, handed in without a name on ')).toBe(true)
  })
})

describe('quantities in words', () => {
  it('count', () => {
    expect(counted(1, 'row')).toBe('1 row')
    expect(counted(0, 'row')).toBe('0 rows')
    expect(counted(1536, 'entry', 'entries')).toBe('1,536 entries')
  })

  it('size files in decimal units', () => {
    expect(bytesText(1)).toBe('1 byte')
    expect(bytesText(999)).toBe('999 bytes')
    expect(bytesText(1000)).toBe('1.0 kB')
    expect(bytesText(23_000_000)).toBe('23.0 MB')
  })

  it('tell the time by the clock of the reader', () => {
    const at = new Date(2026, 10, 5, 4, 3).getTime() / 1000
    expect(timeText(at)).toBe('2026-11-05 04:03')
    expect(dayText(at)).toBe('2026-11-05')
  })

  it('give a probability as many digits as it bears', () => {
    expect(probabilityText(0.0321)).toBe('= 0.032')
    expect(probabilityText(0.0032)).toBe('= 0.0032')
    expect(probabilityText(1e-12)).toBe('< 0.0001')
    expect(probabilityText(0.9994)).toBe('= 0.999')
    expect(probabilityText(0.99991)).toBe('> 0.999')
  })

  it('show what is not zero of a table’s cell never as zero', () => {
    expect([
      cellText(2e-7, 6),
      cellText(-2e-7, 6),
      cellText(0, 6),
      cellText(0.25, 1),
      cellText(0.4, 0),
      cellText(7e-15, 4),
    ]).toEqual(['2.00e−7', '−2.00e−7', '0.000000', '0.3', '0', '0.0000'])
  })
})

describe('a build in words', () => {
  it('says what is recorded, and nothing else', () => {
    const [build] = timeline(1)
    if (build === undefined) throw new Error('a build is needed here')
    const words = buildWords(build)
    expect(words).toContain('powder lot K6, reuse 0')
    expect(words).toContain('scale 1.1791 × 1.1794 × 1.1846')
    const bare = {
      ...build,
      printedAt: null,
      printer: null,
      powderLot: null,
      powderReuse: null,
      furnaces: [],
      scale: { x: null, y: null, z: null },
    }
    expect(buildWords(bare)).toBe('')
  })
})

describe('problems', () => {
  it('are told in the words of the server', () => {
    const text = JSON.stringify({ error: { what: 'No.', where: 'who', next: 'Do this.' } })
    expect(problemIn(text, 400)).toEqual({ what: 'No.', where: 'who', next: 'Do this.' })
  })

  it('are told in general words where something else answered', () => {
    expect(problemIn('<html>Bad gateway</html>', 502).what).toBe('The server answered with error 502.')
    expect(problemIn('{}', 500).next).toBe('Try again.')
  })

  it('keep their words inside an error', () => {
    const problem = { what: 'a', where: null, next: 'b' }
    expect(problemOf(new RequestError(problem, 400))).toBe(problem)
    expect(problemOf(new Error('x')).what).toBe('x')
  })
})

describe('handing in', () => {
  it('says in the address what was chosen, and by whom', () => {
    const choices = { who: '', takeGoodRows: true, convertUnits: false, partNumber: 'A 1', revision: null }
    const query = new URL(intakeAddress('a&b.csv', choices), 'http://x').searchParams
    expect(Object.fromEntries(query)).toEqual({
      name: 'a&b.csv',
      who: 'not named',
      takeGoodRows: 'true',
      convertUnits: 'false',
      partNumber: 'A 1',
    })
  })

  it('names a pasted table by its time, and by what parts its columns', async () => {
    const at = new Date(2026, 10, 25, 14, 5, 9)
    expect(pastedFile('a\tb\n1\t2', at).name).toBe('pasted 2026-11-25 14-05-09.tsv')
    const file = pastedFile('a;b\n1;2', at)
    expect(file.name).toBe('pasted 2026-11-25 14-05-09.csv')
    expect(await file.text()).toBe('a;b\n1;2')
  })

  it('shows an example that has every column that is needed', () => {
    const headings = MEASUREMENT_EXAMPLE.split('\n')[0]?.split(',')
    for (const column of MEASUREMENT_COLUMNS.filter((each) => each.needed))
      expect(headings).toContain(column.heading)
  })
})
