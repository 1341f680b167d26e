import fc from 'fast-check'
import Papa from 'papaparse'
import { describe, expect, it } from 'vitest'
import { csvField } from '../../src/csv-field.ts'

describe('a field of CSV', () => {
  // The examples of the OWASP page on CSV injection, and of other signs that spreadsheets take for a beginning.
  it.each([
    ['=1+2";=1+2', '"\'=1+2"";=1+2"'],
    ["=cmd|' /C calc'!A0", "'=cmd|' /C calc'!A0"],
    ["-2+3+cmd|' /C calc'!A0", "'-2+3+cmd|' /C calc'!A0"],
    ['+SUM(A1)', "'+SUM(A1)"],
    ['@SUM(A1)', "'@SUM(A1)"],
    ['\t=1', "'\t=1"],
    ['\r=1', '"\'\r=1"'],
    ['\n=1', '"\'\n=1"'],
    ['＝1+2', "'＝1+2"],
    ['-', "'-"],
    ['+1', "'+1"],
  ])('%j stays text', (text, field) => {
    expect(csvField(text)).toBe(field)
  })

  it.each(['-1.5', '-1e-3', '-0,25', 'HB-204', 'a=b', '−3', ''])('%j is as it is', (text) => {
    expect(csvField(text)).toBe(/,/.test(text) ? `"${text}"` : text)
  })

  it('is read as it was written, but for the apostrophe', () => {
    fc.assert(
      fc.property(fc.array(fc.string(), { minLength: 1 }), (texts) => {
        const line = texts.map(csvField).join(',')
        const [read] = Papa.parse<string[]>(line, { newline: '\n', delimiter: ',' }).data
        // A lone carriage return is quoted, so that no reader takes it for the end of a line.
        expect((read ?? ['']).map((each, i) => (each === texts[i] ? each : each.slice(1)))).toEqual(texts)
        for (const each of read ?? []) expect(each).not.toMatch(/^[=@＝＠]/)
      }),
    )
  })
})
