import { join } from 'node:path'
import { inflateRawSync } from 'node:zlib'
import Database from 'better-sqlite3'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { canonicalJson, fingerprintOf } from '../../../server/canonical.ts'
import type { Report } from '../../../server/contract/report.ts'
import type { PartNumber } from '../../../server/contract/views.ts'
import { NotAReportError, reportIn } from '../../../server/report/attached.ts'
import { drawUpReport, keepReport, noteCopy, reportFile } from '../../../server/report/make-report.ts'
import { UnknownBuildError } from '../../../server/report/report-data.ts'
import { csvOf, xlsxOf } from '../../../server/report/spreadsheet.ts'
import { verifyFile, verifyNumber } from '../../../server/report/verify.ts'
import { capabilityView } from '../../../server/views/capability-view.ts'
import type { Shop } from '../intake/shop.ts'
import { openReportShop } from './report-shop.ts'

const WANTED = { stage: 'sintered' as const, required: 1.33, confidence: 0.95 }

let shop: Shop
let partNumber: PartNumber
let report: Report

beforeAll(async () => {
  shop = await openReportShop()
  partNumber = (await shop.store.partNumber('HB-204', 'C')) as PartNumber
  report = await keepReport(
    shop.store,
    partNumber,
    await drawUpReport(shop.store, partNumber, WANTED, 'Ines Quark'),
  )
})

afterAll(() => shop.close())

const file = (format: 'pdf' | 'html' | 'csv' | 'xlsx' | 'json', of = report) =>
  reportFile(of, { format, paper: 'a4', logo: null })

describe('what a report states', () => {
  it('is what the page Capability states, to the last digit', async () => {
    const view = await capabilityView(shop.store, partNumber, WANTED)
    expect(
      report.content.characteristics.map(({ characteristic, summary }) => ({ characteristic, ...summary })),
    ).toEqual(view.rows.map(({ sigmaInControl: _, ...row }) => row))
    expect(report.content.headline).toBe(view.headline.map(({ text }) => text).join(''))
  })

  it('counts every value in its drawing', () => {
    for (const { values, summary } of report.content.characteristics) {
      expect(values?.n).toBe(summary.n)
      expect(values?.counts.reduce((sum, count) => sum + count, 0)).toBe(summary.n)
    }
  })

  it('names every file by its hash, and every build', () => {
    expect(report.content.sources.imports.map(({ fileName, values }) => [fileName, values])).toEqual([
      ['measured.csv', 1260],
    ])
    expect(report.content.sources.builds).toHaveLength(30)
    expect(report.content.sources.builds[0]).toMatchObject({ name: '410', parts: 6, gauges: ['CMM-1'] })
  })

  it('names the entries of the record that it rests on, and the hash of the last', async () => {
    const { record, sources, characteristics } = report.content
    const entries = await shop.store.recordEntries({ kinds: ['import'] }, 10)
    const [measured, drawing] = entries
    expect(record.data).toEqual([drawing?.sequence, measured?.sequence])
    expect(record.last).toEqual({ sequence: measured?.sequence, hash: measured?.hash })
    expect(sources.imports[0]?.entry).toBe(measured?.sequence)
    expect(characteristics.every((row) => row.record.length === 0)).toBe(true)
    const html = (await file('html')).toString('utf8')
    expect(html).toContain(`entries ${drawing?.sequence} to ${measured?.sequence}`)
    expect(html).toContain(measured?.hash as string)
  })

  it('keeps to a span by names, whatever came after', async () => {
    const span = { ...WANTED, from: '412', to: '420' }
    const { content } = await drawUpReport(shop.store, partNumber, span, 'x')
    expect(content.span).toMatchObject({ first: '412', last: '420', builds: 9, parts: 54 })
    expect(content.sources.timeline.at(-1)).toBe('420')
    await expect(drawUpReport(shop.store, partNumber, { ...WANTED, to: '999' }, 'x')).rejects.toThrow(
      UnknownBuildError,
    )
  })

  it('is the same for the same data but for time and number', async () => {
    const again = await drawUpReport(shop.store, partNumber, WANTED, 'Emil Rau')
    expect(again.fingerprint).toBe(report.fingerprint)
    expect(canonicalJson(again.content)).toBe(canonicalJson(report.content))
    const same = { ...again, number: report.number, madeAt: report.madeAt, madeBy: report.madeBy }
    for (const format of ['json', 'html', 'csv'] as const) {
      expect((await file(format, same)).equals(await file(format))).toBe(true)
    }
  })
})

describe('canonical JSON', () => {
  // RFC 8785, appendix B and section 3.2.3: numbers as ECMAScript writes them, members by UTF-16 code units.
  it('writes numbers and orders members as RFC 8785 does', () => {
    expect(canonicalJson([Number('333333333.33333329'), 1e30, 4.5, 2e-3, 1e-27])).toBe(
      '[333333333.3333333,1e+30,4.5,0.002,1e-27]',
    )
    expect(canonicalJson({ '€': 1, '\r': 2, 1: 3, '\u{1f600}': 4, ö: 5 })).toBe(
      '{"\\r":2,"1":3,"ö":5,"€":1,"\u{1f600}":4}',
    )
    expect(() => canonicalJson(Number.NaN)).toThrow(TypeError)
  })

  // FIPS 180-4 by way of `printf '{"a":1}' | sha256sum` (GNU coreutils).
  it('has a SHA-256 of its bytes', () => {
    expect(fingerprintOf({ a: 1 })).toBe('015abd7f5cc57a2dd94b7590f04ad8084273905ee33ec5cebeae62276a97f862')
  })
})

describe('tables for spreadsheets', () => {
  const table = {
    headings: ['name', 'value'],
    rows: ['=1+1', '+1', '-1+1', '@SUM(1)', '\tx', 'plain', 'a,"b"\nc'].map((name) => [name, -0.5] as const),
  }

  it('keep text that would be run as text in CSV, and numbers as they are', () => {
    const lines = csvOf(table).slice(1).split('\r\n')
    expect(lines.slice(0, 7)).toEqual([
      'name,value',
      "'=1+1,-0.5",
      "'+1,-0.5",
      "'-1+1,-0.5",
      "'@SUM(1),-0.5",
      "'\tx,-0.5",
      'plain,-0.5',
    ])
    expect(csvOf(table)).toContain('"a,""b""\nc",-0.5')
  })

  it('have no formula in a workbook, and text in cells of the kind text', async () => {
    const parts = unzipped(await xlsxOf(table))
    const sheet = parts.get('xl/worksheets/sheet1.xml') as string
    expect(sheet).not.toContain('<f')
    // ECMA-376, part 1, 18.18.11: t="s" is a shared string; without it a cell is a number.
    expect(sheet.match(/t="s"/g)).toHaveLength(2 + table.rows.length)
    expect(sheet.match(/<v>-0.5<\/v>/g)).toHaveLength(table.rows.length)
    expect(parts.get('xl/sharedStrings.xml')).toContain('=1+1')
  })

  it('are the same bytes at another time', async () => {
    const archive = await xlsxOf(table)
    // APPNOTE 4.4.6: the first moment of the format, 1980-01-01.
    expect(archive.readUInt16LE(10)).toBe(0)
    expect(archive.readUInt16LE(12)).toBe(0x21)
  })

  it('hold one row a characteristic', async () => {
    const csv = (await file('csv')).toString('utf8')
    expect(csv.trimEnd().split('\r\n')).toHaveLength(8)
    expect(csv).toContain("'-1+1")
    expect(csv).toContain('"\'=HYPERLINK(""a"",""b"")"')
  })
})

describe('the HTML file', () => {
  it('holds the figures, needs nothing else and runs nothing', async () => {
    const html = (await file('html')).toString('utf8')
    expect(html.match(/<svg /g)).toHaveLength(3 * report.content.characteristics.length)
    expect(html).not.toMatch(/(?:src|href)=|url\(|@import|<script(?! type="application\/gzip;base64")/)
    expect(html).toContain('=HYPERLINK(&quot;a&quot;,&quot;b&quot;)')
    expect(reportIn(Buffer.from(html))).toEqual(JSON.parse(JSON.stringify(report)))
  })
})

describe('verifying', () => {
  it('finds that a report follows, by number and by file', async () => {
    expect(await verifyNumber(shop.store, report.number as number)).toMatchObject({
      verdict: 'follows',
      changes: [],
    })
    const pdf = await file('pdf')
    const unknown = await verifyFile(shop.store, pdf)
    expect(unknown.verdict).toBe('follows')
    expect(unknown.grounds.join()).toContain('not byte for byte')
    await noteCopy(shop.store, report, 'pdf', pdf)
    expect((await verifyFile(shop.store, pdf)).grounds.join()).toContain('is byte for byte')
    expect(await verifyNumber(shop.store, 99)).toBeNull()
  })

  it('finds figures that were changed in the file', async () => {
    const json = (await file('json')).toString('utf8')
    const { mean } = (report.content.characteristics[0] as Report['content']['characteristics'][number])
      .summary
    const forged = json.replace(`"mean":${mean}`, `"mean":${mean + 0.01}`)
    expect(forged).not.toBe(json)
    expect((await verifyFile(shop.store, Buffer.from(forged))).verdict).toBe('altered')
    // With a fingerprint of its own it is another report than the one on record.
    const content = (JSON.parse(forged) as Report).content
    const refitted = { ...(JSON.parse(forged) as Report), fingerprint: fingerprintOf(content) }
    expect((await verifyFile(shop.store, Buffer.from(JSON.stringify(refitted)))).verdict).toBe('altered')
  })

  it.each(['', '{}', '%PDF-1.7 nothing', '<!doctype html><p>x', '{"kind":"as-sintered report"}'])(
    'refuses what is no report: %j',
    async (text) => {
      await expect(verifyFile(shop.store, Buffer.from(text))).rejects.toThrow(NotAReportError)
    },
  )

  it('stays while builds are added, and finds a changed value, what is left out, and what was taken in', async () => {
    const added = ['part_number,revision,serial,build,characteristic,value']
    for (let i = 1; i <= 6; i++) added.push(`HB-204,C,N${i},440,5,16.0${i}`)
    expect((await shop.bring(added.join('\n'), {}, 'later.csv')).verdict).toBe('taken')
    expect(await verifyNumber(shop.store, report.number as number)).toMatchObject({ verdict: 'follows' })

    await shop.store.write((writer) =>
      writer.leaveOut(
        {
          characteristicId: report.content.characteristics[4]?.characteristic.id as number,
          stage: 'sintered',
          buildId: await415(),
          single: { serial: 'S31', replicate: 1 },
        },
        { reason: 'mistyped', who: 'Ines Quark', at: 1_790_000_100 },
      ),
    )
    const left = await verifyNumber(shop.store, report.number as number)
    expect(left?.verdict).toBe('changed')
    const [leftOut] = await shop.store.recordEntries({ kinds: ['exclusion'] }, 1)
    expect(left?.grounds).toContain(
      `Added to the record since, about this part number: entry ${leftOut?.sequence}.`,
    )
    const now = await drawUpReport(shop.store, partNumber, { ...WANTED, to: '439' }, 'x')
    expect(now.content.characteristics.map((row) => row.record)).toEqual(
      now.content.characteristics.map((_, i) => (i === 4 ? [leftOut?.sequence] : [])),
    )
    expect(left?.changes).toContainEqual({ where: '5 +cmd', what: 'values', was: '180', is: '179' })
    expect(left?.changes.some(({ what, is }) => what === 'left out' && is?.includes('mistyped'))).toBe(true)
    expect(left?.changes.every(({ where }) => !where.startsWith('1 '))).toBe(true)

    // A value changed behind the program's back: cells still hold the old figures, the drawing does not.
    const database = new Database(join(shop.folder, 'store.sqlite'))
    database
      .prepare(
        'update measurement set value = value + 0.02 where part_id = 1 and cell_id in (select id from cell where characteristic_id = ?)',
      )
      .run(report.content.characteristics[0]?.characteristic.id)
    database.close()
    const changed = await verifyNumber(shop.store, report.number as number)
    expect(changed?.changes.some(({ where }) => where.startsWith('1 '))).toBe(true)

    // So is the entry that the report names, past the triggers that refuse it.
    const last = report.content.record.last as { sequence: number; hash: string }
    const record = new Database(join(shop.folder, 'store.sqlite'))
    for (const { name } of record
      .prepare("select name from sqlite_master where type = 'trigger' and tbl_name = 'record_entry'")
      .all() as { name: string }[])
      record.exec(`drop trigger "${name}"`)
    record.prepare('update record_entry set hash = ? where sequence = ?').run('0'.repeat(64), last.sequence)
    record.close()
    const rewritten = await verifyNumber(shop.store, report.number as number)
    expect(rewritten?.changes).toContainEqual({
      where: 'the record',
      what: `hash of entry ${last.sequence}`,
      was: last.hash,
      is: '0'.repeat(64),
    })
  })
})

let buildIds: ReadonlyMap<string, number> | null = null
function await415(): number {
  return buildIds?.get('415') as number
}
beforeAll(async () => {
  buildIds = new Map((await shop.store.builds(partNumber.id, 'sintered')).map(({ name, id }) => [name, id]))
})

/** Files of a ZIP archive, by its local headers' places in the central directory. */
function unzipped(archive: Buffer): ReadonlyMap<string, string> {
  const parts = new Map<string, string>()
  const end = archive.length - 22
  let at = archive.readUInt32LE(end + 16)
  for (let i = 0; i < archive.readUInt16LE(end + 10); i++) {
    const size = archive.readUInt32LE(at + 20)
    const nameLength = archive.readUInt16LE(at + 28)
    const name = archive.toString('utf8', at + 46, at + 46 + nameLength)
    const local = archive.readUInt32LE(at + 42)
    const from = local + 30 + archive.readUInt16LE(local + 26) + archive.readUInt16LE(local + 28)
    const content = archive.subarray(from, from + size)
    parts.set(
      name,
      (archive.readUInt16LE(at + 10) === 0 ? content : inflateRawSync(content)).toString('utf8'),
    )
    at += 46 + nameLength + archive.readUInt16LE(at + 30) + archive.readUInt16LE(at + 32)
  }
  return parts
}
