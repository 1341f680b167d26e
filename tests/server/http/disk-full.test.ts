import { execFileSync } from 'node:child_process'
import { mkdtempSync, rmSync, statfsSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { sql } from 'kysely'
import { afterEach, describe, expect, it } from 'vitest'
import { isDiskFull } from '../../../server/disk-full.ts'
import { openEngine } from '../../../server/store/open-engine.ts'
import { openStore } from '../../../server/store/store.ts'
import { startServer } from '../../tools/running-server.ts'

const HEADINGS = 'part_number,revision,serial,build,characteristic,nominal,lower,upper,unit,value\n'
const rows = (from: number, count: number) =>
  Array.from(
    { length: count },
    (_, i) => `HB-1,A,S${from + i},B${Math.floor((from + i) / 50)},1,10,9.9,10.1,mm,10.0${i % 9}`,
  ).join('\n')

const undo: (() => void)[] = []
afterEach(() => {
  for (const each of undo.splice(0).reverse()) each()
})

/** A folder on a disk of its own of so many MiB; null where this user may not mount one. */
function smallDisk(mebibytes: number): string | null {
  const folder = mkdtempSync(join(tmpdir(), 'as-sintered-small-'))
  undo.push(() => rmSync(folder, { recursive: true, force: true }))
  if (process.platform !== 'linux' || process.getuid?.() !== 0) return null
  try {
    execFileSync('mount', ['-t', 'tmpfs', '-o', `size=${mebibytes}m`, 'tmpfs', folder], { stdio: 'ignore' })
  } catch {
    return null
  }
  undo.push(() => execFileSync('umount', ['-l', folder]))
  return folder
}

describe('a full disk', () => {
  it('refuses an import whole, and decisions with 507; the service goes on, and takes it once there is room', async (context) => {
    const folder = smallDisk(6)
    if (folder === null) return context.skip()
    const server = await startServer({}, folder)
    try {
      expect((await server.bring('one.csv', `${HEADINGS}${rows(0, 200)}\n`)).verdict).toBe('taken')
      // Fills what is left but for a little, so that the transaction runs out in its middle.
      const ballast = join(folder, 'ballast')
      const { bavail, bsize } = statfsSync(folder)
      writeFileSync(ballast, Buffer.alloc(Math.max(0, bavail * bsize - 1_400_000)))
      const large = `${HEADINGS}${rows(1000, 12_000)}\n`
      const refused = await server.bring('large.csv', large)
      expect(refused).toMatchObject({ verdict: 'refused', importId: null })
      expect(refused.problem?.what).toMatch(/disk of the server is full/)

      // Not a byte left: a decision, and a file that cannot even be received.
      writeFileSync(join(folder, 'rest'), Buffer.alloc(statfsSync(folder).bavail * bsize))
      const answer = await fetch(`${server.url}/api/part-numbers/HB-1/A/remarks?stage=sintered`, {
        method: 'POST',
        headers: { 'content-type': 'application/json' },
        body: JSON.stringify({ build: 'B1', text: 'x'.repeat(1900), who: 'tests' }),
      })
      // The log may have room for so little from before; then it is kept, and says so.
      expect([201, 507]).toContain(answer.status)
      const received = await fetch(`${server.url}/api/imports?name=a.csv&who=tests`, {
        method: 'POST',
        body: large,
      })
      expect(received.status).toBe(507)
      expect(await received.json()).toMatchObject({ error: { next: expect.stringMatching(/room/) } })

      // What was there is there, whole, and charts are served.
      const shop = await server.get<{ partNumbers: { measurements: number }[] }>('/api/shop')
      expect(shop.partNumbers[0]?.measurements).toBe(200)
      await server.get('/api/part-numbers/HB-1/A/drift?stage=sintered')
      expect(await server.store.verifyRecord()).toMatchObject({ faults: [] })

      rmSync(join(folder, 'rest'))
      rmSync(ballast)
      expect((await server.bring('large.csv', large)).verdict).toBe('taken')
      expect(await server.store.verifyRecord()).toMatchObject({ faults: [], imports: 2 })
    } finally {
      await server.stop()
    }
  })

  it('takes a transaction back whole, whoever runs the tests', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'as-sintered-full-'))
    undo.push(() => rmSync(folder, { recursive: true, force: true }))
    const file = join(folder, 'store.sqlite')
    const engine = await openEngine({ file })
    const { rows: pages } = await sql<{ page_count: number }>`pragma page_count`.execute(engine.db)
    await sql.raw(`pragma max_page_count = ${(pages[0]?.page_count ?? 0) + 4}`).execute(engine.db)
    const transaction = await engine.begin('alone')
    const fill = async () => {
      for (let id = 1; id < 200; id++) {
        await transaction.db
          .insertInto('gauge')
          .values({ id, name: `${id} ${'x'.repeat(1000)}` })
          .execute()
      }
    }
    const failure = await fill().catch((error: unknown) => error)
    expect(isDiskFull(failure)).toBe(true)
    await transaction.rollback()
    await engine.close()
    const store = await openStore({ file })
    await store.write(async (writer) => expect((await writer.catalogue()).gauges).toEqual([]))
    await store.close()
  })
})
