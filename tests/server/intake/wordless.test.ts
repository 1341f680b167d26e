import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { wordlessTable } from '../../../server/intake/wordless.ts'
import { CHARACTERISTICS, openShop, type Shop } from './shop.ts'

let shop: Shop

beforeEach(async () => {
  shop = await openShop()
  await shop.bring(CHARACTERISTICS)
})
afterEach(() => shop.close())

const BARE = 'S1;B1;1;42,01\nS2;B1;1;42,02\nS3;B1;1;42,03\n'
const STRANGE = 'Alpha,Beta,Gamma,Delta\nS1,B1,1,42.01\nS2,B1,1,42.02\n'
const MEANT = { '1': 'serial', '2': 'build', '3': 'characteristic', '4': 'value' }

describe('a file without headings', () => {
  it('is refused with its rows shown, and nothing is changed', async () => {
    const before = shop.everything()
    const receipt = await shop.bring(BARE)
    expect(receipt).toMatchObject({ verdict: 'refused', rowsTaken: 0 })
    expect(receipt.problem?.what).toMatch(/headings/)
    expect(receipt.reading).toMatchObject({ shape: null, headingLine: 0 })
    expect(receipt.reading?.columns.map(({ role }) => role)).toEqual([null, null, null, null])
    expect(receipt.reading?.rows[0]).toEqual({
      line: 1,
      position: 1,
      fields: { 'column 1': 'S1', 'column 2': 'B1', 'column 3': '1', 'column 4': '42,01' },
    })
    expect(receipt.reading?.roles.map(({ role }) => role)).toEqual(
      expect.arrayContaining(['serial', 'build', 'characteristic', 'value']),
    )
    expect(shop.everything()).toBe(before)
  })

  it('is taken in from its first line once it was said what its columns are, and the next like it without a word', async () => {
    const said = { partNumber: 'HB-204', layout: { columns: MEANT, headingLine: 0 } }
    expect(await shop.bring(BARE, said)).toMatchObject({ verdict: 'taken', rowsRead: 3, rowsTaken: 3 })
    const next = await shop.bring('T8;B1;1;41,98\nT9;B1;1;41,99\n')
    expect(next).toMatchObject({ verdict: 'taken', rowsTaken: 2 })
    expect(next.reading?.remembered?.who).toBe('M. Inspector')
  })

  it('is not taken for one whose columns hold something else', async () => {
    await shop.bring(BARE, { partNumber: 'HB-204', layout: { columns: MEANT, headingLine: 0 } })
    const other = await shop.bring('1;42,01;S1;B1\n1;42,02;S2;B1\n')
    expect(other.verdict).toBe('refused')
    expect(other.reading?.remembered).toBeNull()
  })
})

describe('a file with headings that nobody knows', () => {
  it('is refused with its headings and rows, then taken as said, and remembered by its headings', async () => {
    const receipt = await shop.bring(STRANGE)
    expect(receipt.verdict).toBe('refused')
    expect(receipt.reading).toMatchObject({ headingLine: 1 })
    expect(receipt.reading?.columns.map(({ heading }) => heading)).toEqual([
      'Alpha',
      'Beta',
      'Gamma',
      'Delta',
    ])
    const taken = await shop.bring(STRANGE, { partNumber: 'HB-204', layout: { columns: MEANT } })
    expect(taken).toMatchObject({ verdict: 'taken', rowsTaken: 2 })
    const next = await shop.bring(STRANGE.replace('S1', 'S8').replace('S2', 'S9').replace('42.01', '41.97'))
    expect(next).toMatchObject({ verdict: 'taken', rowsTaken: 2 })
  })
})

describe('wordlessTable', () => {
  it('passes over blank lines, comments and lines of another width', () => {
    const text = '# made by hand\n\nlist of today\nS1\t42.01\nS2\t42.02\n'
    expect(wordlessTable(text, true)).toMatchObject({
      delimiter: '\t',
      headingLine: 0,
      kinds: ['text', 'number'],
      rows: [{ line: 4 }, { line: 5 }],
    })
  })

  it('is null where nothing parts the lines', () => {
    expect(wordlessTable('one\ntwo\nthree\n', true)).toBeNull()
    expect(wordlessTable('', true)).toBeNull()
  })
})
