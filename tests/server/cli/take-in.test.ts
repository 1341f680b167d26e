import { spawn } from 'node:child_process'
import { existsSync, readdirSync, writeFileSync } from 'node:fs'
import { userInfo } from 'node:os'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import Database from 'better-sqlite3'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import type { Receipt } from '../../../server/contract/receipt.ts'
import { openStore } from '../../../server/store/store.ts'
import { qifDocument } from '../intake/qif/document.ts'
import { CHARACTERISTICS } from '../intake/shop.ts'
import { openTerminal, type TestTerminal } from './terminal.ts'

let terminal: TestTerminal
beforeEach(() => {
  terminal = openTerminal()
})
afterEach(() => terminal.remove())

const ROWS = 'part_number,revision,serial,build,characteristic,value\nHB-204,C,S1,B1,1,42.01\n'
const PART = ROWS.replaceAll('part_number,revision,', '').replaceAll('HB-204,C,', '')

function put(name: string, content: string): string {
  const path = join(terminal.folder, name)
  writeFileSync(path, content)
  return path
}

const receipts = () => terminal.written.out.map((line) => JSON.parse(line) as Receipt)

describe('take-in', () => {
  it('takes files in, prints their receipts and ends with 0', async () => {
    const files = [put('characteristics.csv', CHARACTERISTICS), put('monday.csv', ROWS)]
    expect(await terminal.run('take-in', ...files)).toBe(0)
    expect(terminal.written.err).toEqual([])
    expect(terminal.written.out[1]).toMatch(/^monday\.csv\nTaken in\.\n/)
    expect(terminal.written.out[1]).toContain(userInfo().username)
    const store = await openStore({ file: join(terminal.data, 'as-sintered.sqlite') })
    expect((await store.partNumbers())[0]).toMatchObject({ characteristics: 4, measurements: 1 })
    await store.close()
    expect(readdirSync(join(terminal.data, 'files'))).toHaveLength(2)
    expect(readdirSync(terminal.data).filter((name) => name.startsWith('taking-in'))).toEqual([])
  })

  it('prints receipts as JSON, one a line, and says who brought the files', async () => {
    const files = [put('characteristics.csv', CHARACTERISTICS), put('monday.csv', ROWS)]
    expect(await terminal.run('take-in', '--json', '--who', 'CMM-2', ...files)).toBe(0)
    expect(receipts()).toMatchObject([
      { fileName: 'characteristics.csv', verdict: 'taken', who: 'CMM-2', importId: 1 },
      { fileName: 'monday.csv', verdict: 'taken', who: 'CMM-2', importId: 2 },
    ])
  })

  it('ends with 2 where a file is refused, and takes the others all the same', async () => {
    const bad = put('bad.csv', ROWS.replace('42.01', 'soon'))
    expect(await terminal.run('take-in', bad, put('good.csv', ROWS))).toBe(2)
    expect(terminal.written.out[0]).toMatch(/Refused\. Nothing was changed\.[\s\S]*line 2, value: "soon"\./)
    expect(terminal.written.out[1]).toMatch(/Taken in\./)
  })

  it('ends with 1 where a file is not there, and takes the others all the same', async () => {
    expect(await terminal.run('take-in', join(terminal.folder, 'nowhere.csv'), put('good.csv', ROWS))).toBe(1)
    expect(terminal.written.err).toEqual([expect.stringMatching(/nowhere\.csv: .*ENOENT/)])
    expect(terminal.written.out[0]).toMatch(/Taken in\./)
  })

  it('says that the same bytes were taken in before, and ends with 0', async () => {
    const file = put('monday.csv', ROWS)
    await terminal.run('take-in', file)
    expect(await terminal.run('take-in', '--json', file)).toBe(0)
    expect(receipts()).toMatchObject([{ verdict: 'known', earlierImportId: 1 }])
  })

  it('takes good rows, converts units and names part numbers on request', async () => {
    await terminal.run('take-in', put('characteristics.csv', CHARACTERISTICS))
    const file = put(
      'mixed.csv',
      'serial,build,characteristic,value,unit\nS1,B1,1,42.01,mm\nS2,B1,1,1.6535,in\nS3,B1,1,soon,mm\n',
    )
    expect(await terminal.run('take-in', file)).toBe(2)
    const status = await terminal.run(
      'take-in',
      '--json',
      '--take-good-rows',
      '--convert-units',
      '--part-number',
      'HB-204',
      '--revision',
      'C',
      file,
    )
    expect(status).toBe(0)
    expect(receipts()).toMatchObject([{ verdict: 'taken-in-part', rowsTaken: 2, rowsRefused: 1 }])
  })

  it('names the build of parts that are not on record, as results in QIF need it', async () => {
    const file = put('results.qif', qifDocument())
    expect(await terminal.run('take-in', file)).toBe(2)
    expect(await terminal.run('take-in', '--json', '--build', 'B7', file)).toBe(0)
    expect(receipts()).toMatchObject([{ verdict: 'taken', dialect: 'QIF 3.0.0, UTF-8', rowsTaken: 1 }])
    const store = await openStore({ file: join(terminal.data, 'as-sintered.sqlite') })
    expect((await store.builds(1, 'sintered')).map((build) => build.name)).toEqual(['B7'])
    await store.close()
  })

  it.each([
    ['no files', ['take-in'], /needs the files/],
    ['an option that is none', ['take-in', '--force', 'x.csv'], /--force/],
    ['a name that is empty', ['take-in', '--who', ' ', 'x.csv'], /who/],
    ['a command that is none', ['swallow', 'x.csv'], /no command "swallow"/],
  ])('with %s says how it is used and ends with 1', async (_, args, message) => {
    expect(await terminal.run(...args)).toBe(1)
    expect(terminal.written.err[0]).toMatch(message)
    expect(terminal.written.err[0]).toContain('as-sintered take-in FILE…')
    expect(existsSync(terminal.data)).toBe(false)
  })

  it('waits, and says so, while another program writes to the same database', async () => {
    await terminal.run('take-in', put('characteristics.csv', CHARACTERISTICS))
    const other = new Database(join(terminal.data, 'as-sintered.sqlite'))
    other.exec('BEGIN IMMEDIATE')
    const main = fileURLToPath(new URL('../../../server/main.ts', import.meta.url))
    const script = spawn(
      process.execPath,
      [
        '--import',
        'tsx',
        main,
        'take-in',
        '--data',
        terminal.data,
        put('part.csv', PART),
        '--part-number',
        'HB-204',
      ],
      { stdio: ['ignore', 'pipe', 'pipe'] },
    )
    let out = ''
    script.stdout.on('data', (piece) => {
      out += piece
    })
    const ended = new Promise<number | null>((resolve) => script.on('close', resolve))
    const said = await new Promise<string>((resolve) =>
      script.stderr.once('data', (piece) => resolve(`${piece}`)),
    )
    expect(said).toMatch(/Another program is writing to the database\. Waiting/)
    expect(out).toBe('')
    other.exec('COMMIT')
    other.close()
    expect(await ended).toBe(0)
    expect(out).toMatch(/Taken in\./)
  })
})
