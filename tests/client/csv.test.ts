import fc from 'fast-check'
import Papa from 'papaparse'
import { describe, expect, it } from 'vitest'
import { csvText, type TableModel } from '../../client/save/csv.ts'
import { fileNameFrom } from '../../client/save/download.ts'
import { capabilityTable } from '../../client/words/capability-table.ts'
import { capabilityFixture } from './fixtures.ts'

function table(rows: TableModel['rows']): TableModel {
  return {
    caption: 'a table',
    columns: [
      { heading: 'name, of it', decimals: null },
      { heading: 'value', decimals: 2 },
    ],
    rows,
  }
}

describe('a table as CSV', () => {
  it('follows RFC 4180: CR LF, quotes where needed, doubled inside', () => {
    expect(csvText(table([['a "b"', 1.23456]]))).toBe('"name, of it",value\r\n"a ""b""",1.23456\r\n')
  })

  it('leaves a cell empty where there is no value, and keeps every digit of a number', () => {
    expect(csvText(table([[null, 0.1 + 0.2]]))).toContain('\r\n,0.30000000000000004\r\n')
  })

  it('keeps text that a spreadsheet would run as text', () => {
    expect(csvText(table([['=1+1', null]]))).toContain("'=1+1")
    expect(csvText(table([['@x', null]]))).toContain("'@x")
    expect(csvText(table([['-x', null]]))).toContain("'-x")
    expect(csvText(table([['-5', -5]]))).toContain('\r\n-5,-5\r\n')
  })

  it('is read back whole by a general reader', () => {
    const safe = fc.string().filter((text) => !/^[=+@\t\r-]/.test(text))
    fc.assert(
      fc.property(
        fc.array(fc.tuple(safe, fc.double({ noNaN: true, noDefaultInfinity: true })), { minLength: 1 }),
        (rows) => {
          const read = Papa.parse<string[]>(csvText(table(rows)), { delimiter: ',', newline: '\r\n' }).data
          expect(read.slice(1, -1)).toEqual(rows.map(([text, value]) => [text, String(value)]))
        },
      ),
    )
  })

  it('holds every index of the capability page with its interval', () => {
    const view = capabilityFixture()
    const model = capabilityTable(view)
    const headings = model.columns.map((column) => column.heading)
    for (const index of ['Cp', 'Cpk', 'Pp', 'Ppk']) {
      expect(headings).toEqual(expect.arrayContaining([index, `${index} from`, `${index} to`]))
    }
    for (const row of model.rows) expect(row).toHaveLength(headings.length)
    expect(model.rows[0]?.[headings.indexOf('Ppk')]).toBe(view.rows[0]?.ppk?.value)
  })
})

describe('names of saved files', () => {
  it('keep letters, digits, points and dashes', () => {
    expect(fileNameFrom('HB-204 rev C, 9 step', 'svg')).toBe('HB-204-rev-C-9-step.svg')
    expect(fileNameFrom('../höhe: 1/2', 'csv')).toBe('..-ho-he-1-2.csv')
    expect(fileNameFrom('⌀', 'png')).toBe('figure.png')
  })
})
