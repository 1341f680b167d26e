import { cpSync, existsSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import Database from 'better-sqlite3'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { openStore } from '../../../server/store/store.ts'
import { type RunningServer, startServer } from '../../tools/running-server.ts'
import { openTerminal, type TestTerminal } from '../cli/terminal.ts'

const HEADINGS = 'part_number,revision,serial,build,characteristic,nominal,lower,upper,unit,value\n'
const rows = (from: number, count: number) =>
  Array.from({ length: count }, (_, i) => `HB-1,A,S${from + i},B1,1,10,9.9,10.1,mm,10.0${i % 9}`).join('\n')

let server: RunningServer
let terminal: TestTerminal
let backup: string
beforeAll(async () => {
  server = await startServer()
  terminal = openTerminal()
  backup = join(terminal.folder, 'backup')
  await server.bring('one.csv', `${HEADINGS}${rows(0, 20)}\n`)
  await server.bring('two.csv', `${HEADINGS}${rows(100, 20)}\n`)
})
afterAll(async () => {
  await server.stop()
  terminal.remove()
})
const run = (...args: string[]) => terminal.run(...args)
const said = () => [...terminal.written.out, ...terminal.written.err].join('\n')

describe('backup', () => {
  it('is made while files are taken in, holds one state of them, and is restored', async () => {
    const bringing = server.bring('three.csv', `${HEADINGS}${rows(200, 3000)}\n`)
    expect(await run('backup', backup, '--data', server.folder)).toBe(0)
    await bringing
    const folder = join(terminal.folder, 'restored')
    expect(await run('restore', backup, '--data', folder)).toBe(0)
    expect(said()).toMatch(/each as it was written and in its place/)
    const store = await openStore({ file: join(folder, 'as-sintered.sqlite') })
    const imports = await store.imports(10)
    // The third came before or after the backup, and never by half.
    expect([2, 3]).toContain(imports.length)
    const [partNumber] = await store.partNumbers()
    expect(partNumber?.measurements).toBe(imports.length === 2 ? 40 : 3040)
    for (const { sha256 } of imports) {
      expect(readFileSync(join(folder, 'files', sha256)).length).toBeGreaterThan(0)
    }
    await store.close()
  })

  it('is not written over anything, and says of PostgreSQL what to do', async () => {
    expect(await run('backup', backup, '--data', server.folder)).toBe(1)
    expect(said()).toMatch(/Something is in .* already/)
    expect(await run('backup', join(terminal.folder, 'pg'), '--database', 'postgres://x@127.0.0.1:1/y')).toBe(
      1,
    )
    expect(said()).toMatch(/pg_dump/)
    expect(
      await run('backup', join(terminal.folder, 'none'), '--data', join(terminal.folder, 'nowhere')),
    ).toBe(1)
    expect(said()).toMatch(/There is no database/)
  })

  it('names kept files with their hashes where they are not wanted in it', async () => {
    const to = join(terminal.folder, 'bare')
    expect(await run('backup', to, '--data', server.folder, '--without-files')).toBe(0)
    expect(readdirSync(join(to, 'files'))).toEqual([])
    expect(JSON.parse(readFileSync(join(to, 'backup.json'), 'utf8')).filesNotHeld).toHaveLength(3)
    expect(await run('restore', to, '--data', join(terminal.folder, 'bare-restored'))).toBe(0)
    expect(said()).toMatch(/3 kept files are not in the backup: copy them/)
  })

  const spoilt = (name: string, spoil: (folder: string) => void) => {
    const folder = join(terminal.folder, name)
    cpSync(backup, folder, { recursive: true })
    spoil(folder)
    return folder
  }

  it('is refused where it is not finished, or a byte of it was changed, and nothing is restored', async () => {
    const target = join(terminal.folder, 'target')
    const cases = [
      spoilt('unfinished', (folder) => rmSync(join(folder, 'backup.json'))),
      spoilt('no-manifest', (folder) => writeFileSync(join(folder, 'backup.json'), '{}')),
      spoilt('changed', (folder) => {
        const bytes = readFileSync(join(folder, 'as-sintered.sqlite'))
        bytes[bytes.length - 100] = (bytes[bytes.length - 100] as number) ^ 1
        writeFileSync(join(folder, 'as-sintered.sqlite'), bytes)
      }),
      spoilt('file-missing', (folder) => {
        const [first] = readdirSync(join(folder, 'files'))
        rmSync(join(folder, 'files', first as string))
      }),
    ]
    for (const folder of cases) {
      expect(await run('restore', folder, '--data', target), folder).toBe(1)
      expect(existsSync(target)).toBe(false)
    }
    expect(await run('restore', backup, '--data', server.folder)).toBe(1)
    expect(said()).toMatch(/Something is in/)
  })

  it('is not finished where the record has faults', async () => {
    const folder = join(terminal.folder, 'tampered')
    expect(await run('restore', backup, '--data', folder)).toBe(0)
    const database = new Database(join(folder, 'as-sintered.sqlite'))
    database.exec('drop trigger record_entry_no_update')
    database.exec("update record_entry set kind = 'remark' where sequence = 1")
    database.close()
    const to = join(terminal.folder, 'tampered-backup')
    expect(await run('backup', to, '--data', folder)).toBe(1)
    expect(said()).toMatch(/Entry 1 is not as it was written/)
    expect(existsSync(join(to, 'backup.json'))).toBe(false)
  })
})

describe('a damaged database', () => {
  it('is not opened, and the message says what to do', async () => {
    const folder = join(terminal.folder, 'damaged')
    expect(await run('restore', backup, '--data', folder)).toBe(0)
    const file = join(folder, 'as-sintered.sqlite')
    const bytes = readFileSync(file)
    bytes.fill(0x5a, 4096 * 3, 4096 * 20)
    writeFileSync(file, bytes)
    expect(await run('serve', '--data', folder, '--port', '0')).toBe(1)
    expect(said()).toMatch(/is damaged .* restore the last backup/s)
    writeFileSync(file, 'this is no database, and has never been one at all, not for a moment')
    expect(await run('verify-record', '--data', folder)).toBe(1)
    expect(said()).toMatch(/is damaged/)
  })
})
