import { createHash } from 'node:crypto'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Readable } from 'node:stream'
import pg from 'pg'
import { afterAll, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { copyDatabaseCommand } from '../../../server/cli/copy-database-command.ts'
import { createIntake } from '../../../server/intake/jobs.ts'
import { takeIn } from '../../../server/intake/take-in.ts'
import { copyDatabase } from '../../../server/store/copy.ts'
import type { Store } from '../../../server/store/store.ts'
import { type RunningPostgres, startPostgres } from '../../tools/postgres.ts'
import { openUnrecorded as openStore } from '../../tools/unrecorded.ts'
import { CHOICES } from '../intake/shop.ts'

let server: RunningPostgres
let folder: string
beforeAll(async () => {
  server = await startPostgres()
  folder = mkdtempSync(join(tmpdir(), 'as-sintered-shop-'))
})
afterAll(async () => {
  await server.stop()
  rmSync(folder, { recursive: true, force: true })
})

const drawing = (partNumber: string) =>
  [
    'part_number,revision,designator,name,kind,nominal,lower,upper,unit,axis',
    `${partNumber},A,1,Length,length,42,41.9,42.1,mm,X`,
    `${partNumber},A,2,Bore,diameter,8,7.95,8.05,mm,none`,
  ].join('\n')

/** Parts of one part number in builds that other part numbers are printed in too. */
function measurements(partNumber: string, builds: number, parts: number, batch = 'S'): string {
  const lines = ['part_number,revision,serial,build,furnace_load,characteristic,value,unit,stage,gauge']
  for (let build = 1; build <= builds; build++) {
    for (let part = 1; part <= parts; part++) {
      const serial = `${batch}-${build}-${part}`
      const shift = ((build * 7 + part * 3) % 11) / 1000
      lines.push(`${partNumber},A,${serial},B${build},L${build},1,${42 + shift},mm,sintered,CMM-1`)
      lines.push(`${partNumber},A,${serial},B${build},L${build},2,${8 - shift},mm,sintered,CMM-2`)
    }
  }
  return lines.join('\n')
}

let brought = 0
async function bring(store: Store, content: string) {
  const path = join(folder, `brought ${++brought}`)
  writeFileSync(path, content)
  const sha256 = createHash('sha256').update(content).digest('hex')
  const file = {
    path,
    fileName: `brought ${brought}.csv`,
    bytes: Buffer.byteLength(content),
    sha256,
    isOurs: true,
  }
  return await takeIn(store, file, CHOICES, { filesFolder: join(folder, 'files') })
}

/** What a part number's views are made from, without identities, which depend on who came first. */
async function pictureOf(store: Store, number: string) {
  const partNumber = await store.partNumber(number, 'A')
  if (partNumber === null) return null
  const builds = await store.builds(partNumber.id, 'sintered')
  const nameOf = new Map(builds.map((build) => [build.id, build.name]))
  const parts = await store.partsByBuild(partNumber.id, 'sintered')
  const characteristics = await store.characteristics(partNumber.id)
  const cells = []
  for (const { id, designator } of characteristics) {
    for (const { buildId, n, mean, m2, min, max } of await store.cellsOf(id, 'sintered')) {
      cells.push({ designator, build: nameOf.get(buildId), n, mean, m2, min, max })
    }
  }
  return {
    builds: builds.map(({ id: _, ...build }) => build),
    parts: builds.map((build) => parts.get(build.id)),
    cells: cells.sort((a, b) => `${a.designator} ${a.build}`.localeCompare(`${b.designator} ${b.build}`)),
  }
}

describe('two processes that take files in at once', () => {
  let one: Store
  let two: Store
  beforeEach(async () => {
    const connection = await server.createDatabase()
    one = await openStore({ connection })
    two = await openStore({ connection })
    for (const number of ['P-1', 'P-2']) await bring(one, drawing(number))
    return async () => {
      await one.close()
      await two.close()
    }
  })

  it('end with what one process alone would have', async () => {
    const alone = await openStore({ file: ':memory:' })
    for (const number of ['P-1', 'P-2']) await bring(alone, drawing(number))
    // The first three builds of both part numbers, then more parts of these and of builds met for the first time.
    for (const builds of [3, 8]) {
      const files = ['P-1', 'P-2'].map((number) => measurements(number, builds, 5, `round of ${builds}`))
      for (const file of files) expect((await bring(alone, file)).verdict).toBe('taken')
      const stores = [one, two]
      const receipts = await Promise.all(stores.map((store, i) => bring(store, files[i] as string)))
      expect(receipts.map((receipt) => receipt.verdict)).toEqual(['taken', 'taken'])
    }
    for (const number of ['P-1', 'P-2']) {
      const expected = await pictureOf(alone, number)
      expect(expected?.cells.length).toBeGreaterThan(0)
      expect(await pictureOf(one, number)).toEqual(expected)
      expect(await pictureOf(two, number)).toEqual(expected)
    }
    await alone.close()
  })

  it('take one file in once', async () => {
    const file = measurements('P-1', 4, 5)
    const receipts = await Promise.all([bring(one, file), bring(two, file)])
    expect(receipts.map((receipt) => receipt.verdict).sort()).toEqual(['known', 'taken'])
    expect((await one.partNumbers()).map((p) => p.measurements)).toEqual([40, 0])
  })

  it('add to one build of one part number, neither losing a value nor counting one twice', async () => {
    const lines = measurements('P-1', 2, 40).split('\n')
    const half = (which: number) =>
      [lines[0], ...lines.slice(1).filter((_, i) => Math.floor(i / 2) % 2 === which)].join('\n')
    const receipts = await Promise.all([bring(one, half(0)), bring(two, half(1))])
    expect(receipts.map((receipt) => receipt.rowsTaken)).toEqual([80, 80])
    const picture = await pictureOf(one, 'P-1')
    expect(picture?.cells.map((cell) => cell.n)).toEqual([40, 40, 40, 40])
    expect(picture?.parts).toEqual([40, 40])
  })
})

describe('two servers on one database', () => {
  it('take files in on threads of their own, and each shows what the other took in', async () => {
    const connection = await server.createDatabase()
    const stores = [await openStore({ connection }), await openStore({ connection })]
    await bring(stores[0] as Store, drawing('P-1'))
    await bring(stores[0] as Store, drawing('P-2'))
    const dataFolders = stores.map(() => mkdtempSync(join(folder, 'server-')))
    const intakes = stores.map((store, i) => createIntake({ store, dataFolder: dataFolders[i] as string }))
    const receipts = await Promise.all(
      intakes.map(async (intake, i) => {
        const body = [Buffer.from(measurements(`P-${i + 1}`, 5, 4))]
        const job = await intake.accept(Readable.from(body), `half ${i}.csv`, CHOICES)
        return await intake.finished(job)
      }),
    )
    expect(receipts.map((receipt) => receipt.verdict)).toEqual(['taken', 'taken'])
    for (const store of stores) {
      expect((await store.partNumbers()).map((p) => [p.number, p.measurements])).toEqual([
        ['P-1', 40],
        ['P-2', 40],
      ])
    }
    for (const intake of intakes) await intake.close()
    for (const store of stores) await store.close()
  })
})

describe('copying a database', () => {
  async function filledFile(name: string) {
    const file = join(folder, `${name}.sqlite`)
    const store = await openStore({ file })
    await bring(store, drawing('P-1'))
    await bring(store, measurements('P-1', 6, 9))
    return { file, store }
  }
  const terminal = () => {
    const [lines, faults]: [string[], string[]] = [[], []]
    return {
      environment: {},
      secret: async () => '',
      lines,
      faults,
      out: (l: string) => lines.push(l),
      err: (l: string) => faults.push(l),
    }
  }

  it('carries every record from SQLite to PostgreSQL and back', async () => {
    const { file, store } = await filledFile('there and back')
    const connection = await server.createDatabase()
    const there = await copyDatabase({ file }, { connection })
    expect(there).toMatchObject({ part: 54, cell: 12, measurement: 108, build: 6, import: 2 })
    const copy = await openStore({ connection })
    expect(await pictureOf(copy, 'P-1')).toEqual(await pictureOf(store, 'P-1'))
    expect(await copy.values(1, 1, 'sintered')).toEqual(await store.values(1, 1, 'sintered'))
    expect(await copy.imports(9)).toEqual(await store.imports(9))
    // And it is taken in further there: identities go on where they were.
    expect((await bring(copy, measurements('P-1', 7, 9).replaceAll(',42.', ',41.9'))).verdict).toBe('refused')
    expect((await bring(copy, measurements('P-1', 1, 10, 'T'))).verdict).toBe('taken')
    await copy.close()
    const again = join(folder, 'again.sqlite')
    const back = await copyDatabase({ connection }, { file: again })
    expect(back).toMatchObject({ measurement: 128, import: 3 })
    await store.close()
  })

  it('carries limits of parts’ own, those of withdrawn measurements too', async () => {
    const { file, store } = await filledFile('own limits')
    const own = (serial: string) =>
      `part number,revision,serial,build,characteristic,kind,tolerance,bonus,value\nP-1,A,${serial}1,B1,7,position,0.2,0.05,0.1\nP-1,A,${serial}2,B1,7,position,0.2,0.2,0.5\n`
    await bring(store, own('K'))
    const { importId } = await bring(store, own('L'))
    await store.write((writer) =>
      writer.withdraw(importId as number, { who: 'Ines Quark', reason: 'wrong gauge', at: 1_790_000_100 }),
    )
    const connection = await server.createDatabase()
    const there = await copyDatabase({ file }, { connection })
    expect(there).toMatchObject({ own_limits: 2, withdrawn_measurement: 2 })
    const copy = await openStore({ connection })
    expect(await copy.values(3, 1, 'sintered')).toEqual(await store.values(3, 1, 'sintered'))
    expect((await copy.values(3, 1, 'sintered')).map(({ own: limits }) => limits?.upper)).toEqual([0.25, 0.4])
    expect((await copy.verifyRecord()).faults).toEqual([])
    await copy.close()
    const back = await copyDatabase({ connection }, { file: join(folder, 'own limits again.sqlite') })
    expect(back).toMatchObject({ own_limits: 2, withdrawn_measurement: 2 })
    await store.close()
  })

  it('copies into an empty database only', async () => {
    const { file, store } = await filledFile('full')
    await store.close()
    const connection = await server.createDatabase()
    await copyDatabase({ file }, { connection })
    await expect(copyDatabase({ file }, { connection })).rejects.toThrow(/into an empty database/)
  })

  it('keeps nothing where a cell does not sum up its values', async () => {
    const { file, store } = await filledFile('spoilt')
    await store.write(async (writer) => {
      await writer.mergeCells(new Map([[5, { n: 1, mean: 42, m2: 0, min: 42, max: 42 }]]))
    })
    await store.close()
    const connection = await server.createDatabase()
    await expect(copyDatabase({ file }, { connection })).rejects.toThrow(/Cell 5 does not sum up/)
    const target = await openStore({ connection })
    expect(await target.partNumbers()).toEqual([])
    await target.close()
  })

  it('as a command says what was copied and looks for the files, which stay where they are', async () => {
    const { file, store } = await filledFile('command')
    await store.close()
    const connection = await server.createDatabase()
    const said = terminal()
    const args = ['--from', file, '--to', connection, '--data', folder]
    expect(await copyDatabaseCommand(args, said)).toBe(0)
    expect(said.lines).toContain('measurement: 108')
    expect(said.lines.join('\n')).toMatch(/2 of 2 are there as they were/)
    expect(said.lines.join('\n')).not.toContain(new URL(connection).password)
    expect(await copyDatabaseCommand(args, said)).toBe(1)
    expect(said.faults.join('\n')).toMatch(/Nothing was copied/)
    const elsewhere = terminal()
    const other = ['--from', file, '--to', await server.createDatabase(), '--data', join(folder, 'none')]
    expect(await copyDatabaseCommand(other, elsewhere)).toBe(2)
    // Progress is told as well where copying takes more than two seconds.
    expect(elsewhere.faults.filter((line) => line.includes('its file is not in'))).toHaveLength(2)
  })
})

describe('a connection that hears of commits', () => {
  it('is made anew when the server ends it', async () => {
    const connection = await server.createDatabase()
    const store = await openStore({ connection })
    let told: () => void = () => undefined
    const next = () =>
      new Promise<void>((resolve) => {
        told = resolve
      })
    // The first call says that the connection listens.
    const listening = next()
    const stop = store.onChange(() => told())
    await listening
    const anew = next()
    const client = new pg.Client(connection)
    await client.connect()
    await client.query(
      "select pg_terminate_backend(pid) from pg_stat_activity where datname = current_database() and query like 'listen%'",
    )
    await client.end()
    await expect(anew).resolves.toBeUndefined()
    stop()
    await store.close()
  })
})
