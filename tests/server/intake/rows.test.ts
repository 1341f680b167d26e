import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { FileProblemError } from '../../../server/intake/faults.ts'
import { type Delimiter, RowReader } from '../../../server/intake/rows.ts'

/** Records and lines of a text handed over in pieces of one length. */
function read(text: string, length: number, delimiter: Delimiter = ',') {
  const reader = new RowReader(delimiter)
  const rows: (readonly string[])[] = []
  const lines: number[] = []
  const take = (part: ReturnType<RowReader['push']>) => {
    rows.push(...part.rows)
    lines.push(...part.lines)
  }
  for (let i = 0; i < text.length; i += length) take(reader.push(text.slice(i, i + length)))
  take(reader.end())
  return { rows, lines }
}

/** A field as RFC 4180 writes it. */
const quoted = (field: string) => `"${field.replaceAll('"', '""')}"`

describe('splitting into records', () => {
  it('reads fields, quotes and line breaks within quotes as RFC 4180 has them', () => {
    const { rows, lines } = read('a,b\n"c,1","d ""e"""\n"f\n\ng",h\ni,\n', 1000)
    expect(rows).toEqual([
      ['a', 'b'],
      ['c,1', 'd "e"'],
      ['f\n\ng', 'h'],
      ['i', ''],
    ])
    expect(lines).toEqual([1, 2, 3, 6])
  })

  it('gives the same records and lines wherever the text is cut', () => {
    const field = fc.string({ unit: fc.constantFrom('a', '1', '.', ',', '"', '\n', ' '), maxLength: 6 })
    const table = fc.array(fc.array(field, { minLength: 2, maxLength: 4 }), { minLength: 1, maxLength: 8 })
    fc.assert(
      fc.property(table, fc.integer({ min: 1, max: 12 }), fc.boolean(), (written, length, lastEnd) => {
        const text = written.map((row) => row.map(quoted).join(',')).join('\n') + (lastEnd ? '\n' : '')
        const { rows, lines } = read(text, length)
        expect(rows).toEqual(written)
        let line = 1
        const expected = written.map((row) => {
          const begins = line
          line += 1 + row.join('').split('\n').length - 1
          return begins
        })
        expect(lines).toEqual(expected)
      }),
    )
  })

  it('passes over what comes before a line, and gives the rest as it would have without', () => {
    const bare = fc.string({ unit: fc.constantFrom('a', '1', '.', ' '), maxLength: 6 })
    const field = fc.oneof({ weight: 6, arbitrary: bare }, { weight: 1, arbitrary: fc.constant('"x\ny"') })
    const table = fc.array(fc.array(field, { minLength: 2, maxLength: 3 }), { minLength: 1, maxLength: 30 })
    let passedAny = false
    fc.assert(
      fc.property(
        table,
        fc.integer({ min: 1, max: 40 }),
        fc.integer({ min: 1, max: 40 }),
        (written, length, from) => {
          const text = written.map((row) => row.join(',')).join('\n')
          const all = read(text, length)
          const reader = new RowReader(',')
          // Each with its place among all records, as it follows from how many were passed over before it.
          const found: { line: number; number: number; row: readonly string[] }[] = []
          let cut = 0
          const take = (part: ReturnType<RowReader['push']>) =>
            part.rows.forEach((row, i) => {
              found.push({ line: part.lines[i] as number, number: reader.passed + cut++, row })
            })
          for (let i = 0; i < text.length; i += length) take(reader.push(text.slice(i, i + length), from))
          take(reader.end())
          passedAny ||= reader.passed > 0
          const wanted = all.rows.flatMap((row, number) => {
            const line = all.lines[number] as number
            return line < from ? [] : [{ line, number, row }]
          })
          expect(found.filter(({ line }) => line >= from)).toEqual(wanted)
        },
      ),
      { numRuns: 500 },
    )
    expect(passedAny).toBe(true)
  })

  it('takes every delimiter and line end of text without quotation marks as what it is', () => {
    // Few characters, so that fields repeat, begin and go on like those above them, and rows differ in width.
    const field = fc.string({ unit: fc.constantFrom('a', 'b', 'é', '\u{1f529}', ' '), maxLength: 3 })
    const table = fc.array(fc.array(field, { minLength: 1, maxLength: 4 }), { minLength: 1, maxLength: 12 })
    fc.assert(
      fc.property(table, fc.integer({ min: 1, max: 40 }), fc.boolean(), (written, length, lastEnd) => {
        const text = written.map((row) => row.join(';')).join('\n') + (lastEnd ? '\n' : '')
        // Nothing behind the last line end is no record.
        const expected = lastEnd || text.at(-1) !== '\n' ? written : written.slice(0, -1)
        const { rows, lines } = read(text, length, ';')
        expect(rows).toEqual(text === '' ? [] : expected)
        expect(lines).toEqual(rows.map((_, i) => i + 1))
      }),
      { numRuns: 500 },
    )
  })

  it('reads fields in quotation marks and without as any reader of RFC 4180 does, wherever the text is cut', () => {
    const unit = fc.constantFrom('a', 'b', ';', ' ', 'é')
    const bare = fc.string({ unit: fc.constantFrom('a', 'b', ' ', 'é'), maxLength: 3 })
    const marked = fc.string({
      unit: fc.oneof({ weight: 6, arbitrary: unit }, fc.constantFrom('"', '\n')),
      maxLength: 3,
    })
    const field = fc.oneof(
      bare.map((text) => ({ text, written: text })),
      marked.map((text) => ({ text, written: quoted(text) })),
    )
    const table = fc.array(fc.array(field, { minLength: 1, maxLength: 4 }), { minLength: 1, maxLength: 10 })
    fc.assert(
      fc.property(table, fc.integer({ min: 1, max: 40 }), (records, length) => {
        const text = records.map((row) => row.map(({ written }) => written).join(';')).join('\n')
        const { rows, lines } = read(`${text}\n`, length, ';')
        expect(rows).toEqual(records.map((row) => row.map((each) => each.text)))
        let line = 1
        expect(lines).toEqual(
          records.map((row) => {
            const begins = line
            line += 1 + row.reduce((sum, each) => sum + each.text.split('\n').length - 1, 0)
            return begins
          }),
        )
      }),
      { numRuns: 1000 },
    )
  })

  it('is not misled by a first chunk shorter than a line', () => {
    expect(read('serial,characteristic,value\nS1,1,42\n', 5).rows).toEqual([
      ['serial', 'characteristic', 'value'],
      ['S1', '1', '42'],
    ])
  })

  it('leaves headings that occur twice as they are, in every chunk', () => {
    expect(read('a,a,a\n1,2,3\n4,5,6\n', 3).rows).toEqual([
      ['a', 'a', 'a'],
      ['1', '2', '3'],
      ['4', '5', '6'],
    ])
  })

  it('knows each delimiter', () => {
    for (const delimiter of [',', ';', '\t', '|'] as const) {
      expect(read(`a${delimiter}b\n`, 3, delimiter).rows).toEqual([['a', 'b']])
    }
  })

  it('names the line of a quotation mark that is never closed', () => {
    for (const length of [4, 7, 1000]) {
      expect(() => read('a,b\n"x\ny",c\nd,"e\nf,g\n', length)).toThrow(/on line 4 is never closed/)
    }
  })

  it('names the line of a quotation mark that is not doubled', () => {
    for (const length of [4, 7, 1000]) {
      expect(() => read('a,b\n"c"d",e\nf,g\n', length)).toThrow(/on line 2 .* not doubled/)
    }
  })

  it('does not take a quoted field cut at its end for a badly quoted one', () => {
    expect(read('"a" ,b\n"c" ,d\n', 4).rows).toEqual([
      ['a', 'b'],
      ['c', 'd'],
    ])
  })

  it('refuses a record longer than a million characters, and takes one just as long', () => {
    const longest = 'a'.repeat(1_000_000 - 2)
    expect(read(`b,${longest}\n`, 300_000).rows).toEqual([['b', longest]])
    expect(() => read(`x\nb,${longest}aa\n`, 300_000)).toThrow(FileProblemError)
    expect(() => read(`x\nb,"${longest}`, 300_000)).toThrow(/line 2 .* longer than 1,000,000/)
  })
})
