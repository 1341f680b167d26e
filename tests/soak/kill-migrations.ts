import type { ChildProcess } from 'node:child_process'
import { once } from 'node:events'
import { copyFileSync, existsSync, mkdirSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import { setTimeout as delay } from 'node:timers/promises'
import { fileURLToPath } from 'node:url'
import Database from 'better-sqlite3'
import { openStore } from '../../server/store/store.ts'
import { addressOf, startProgram } from './running-program.ts'

/**
 * Kills the program while it brings a large old database up: at the copy that it makes first, or in the transaction after
 * it. Which of them was hit is read from what is left, not from when the kill was meant for.
 */

const OLD_DATABASE = fileURLToPath(
  new URL('../reference/databases/0300-factor-decisions.sql', import.meta.url),
)

/** Measurements of the old database, of which some dozen are the file's: copying and counting them takes a while. */
const MEASUREMENTS = 600_000

export const MIGRATION_STEPS = ['copy', 'migration'] as const
export type MigrationStep = (typeof MIGRATION_STEPS)[number]

/** How many kills hit which step; afterwards: the program was quicker. */
export type MigrationHits = Record<MigrationStep | 'afterwards', number>

export interface MigrationKills {
  /**
   * Kill it once.
   *
   * @param at moment inside the step, from 0 to 1
   * @returns what was hit, and what was found wrong
   */
  kill(
    step: MigrationStep,
    at: number,
  ): Promise<{ readonly hit: keyof MigrationHits; readonly faults: string[] }>
}

/** @param folder an empty one */
export function migrationKills(folder: string, program: readonly string[]): MigrationKills {
  mkdirSync(folder, { recursive: true })
  const template = join(folder, 'old.sqlite')
  const measurements = writeOld(template)
  /** Milliseconds that each step takes, learned from what was hit: too late makes it shorter. */
  const lasts: Record<MigrationStep, number> = { copy: 100, migration: 40 }
  return {
    async kill(step, at) {
      const shop = join(folder, 'shop')
      mkdirSync(shop)
      const file = join(shop, 'as-sintered.sqlite')
      copyFileSync(template, file)
      const server = startProgram(program, shop)
      const exit = once(server, 'exit')
      addressOf(server).catch(() => undefined)
      const sign = step === 'copy' ? () => isCopying(shop) : () => copiesOf(shop).length > 0
      await until(sign, server)
      await delay(at * lasts[step])
      server.kill('SIGKILL')
      await exit
      const hit = wasHit(shop, file)
      const isLate = hit === 'afterwards' || (step === 'copy' && hit === 'migration')
      lasts[step] = Math.min(1000, lasts[step] * (isLate ? 0.85 : 1.05))
      const faults = await check(shop, file, measurements)
      rmSync(shop, { recursive: true, force: true })
      return { hit, faults }
    },
  }
}

async function until(sign: () => boolean, server: ChildProcess): Promise<void> {
  while (!sign() && server.exitCode === null) await delay(1)
}

function isCopying(shop: string): boolean {
  const copying = join(shop, 'being-copied')
  return existsSync(copying) && readdirSync(copying).length > 0
}

function copiesOf(shop: string): string[] {
  return readdirSync(shop).filter((name) => /-version-\d+\.sqlite$/.test(name))
}

function wasHit(shop: string, file: string): keyof MigrationHits {
  if (copiesOf(shop).length === 0) return 'copy'
  // Reading only, so that what the kill left is for the program to recover.
  const database = new Database(file, { readonly: true })
  const version = database.prepare('select max(version) from schema_version').pluck().get()
  database.close()
  return version === 300 ? 'migration' : 'afterwards'
}

/** What the next start makes of it. */
async function check(shop: string, file: string, measurements: number): Promise<string[]> {
  const faults: string[] = []
  const store = await openStore({ file })
  try {
    const [partNumber] = await store.partNumbers()
    // One of them is left out.
    if (partNumber?.measurements !== 23) faults.push('a database brought up has lost measurements')
    const record = await store.verifyRecord()
    faults.push(...record.faults.map(({ what }) => `brought up: ${what}`))
  } finally {
    await store.close()
  }
  if (isCopying(shop)) faults.push('a copy that was never finished is still there')
  for (const name of [...copiesOf(shop).map((copy) => join(shop, copy)), file]) {
    const database = new Database(name, { readonly: true })
    const rows = database.prepare('select count(*) from measurement').pluck().get()
    const sound = database.pragma('quick_check(1)', { simple: true })
    database.close()
    if (rows !== measurements) faults.push(`${name} has ${rows} measurements of ${measurements}`)
    if (sound !== 'ok') faults.push(`${name}: ${sound}`)
  }
  if (copiesOf(shop).length === 0) faults.push('a database was brought up without a copy of it')
  return faults
}

/** An old database with many measurements. @returns how many */
function writeOld(file: string): number {
  const old = new Database(file)
  old.pragma('foreign_keys = OFF')
  old.exec(readFileSync(OLD_DATABASE, 'utf8'))
  // Its own over and over, as further replicates: cells do not count them, and nothing here reads cells.
  old
    .prepare(
      `with recursive again(replicate) as
         (select 100 union all select replicate + 1 from again where replicate < 100 + ?)
       insert into measurement
         select cell_id, part_id, again.replicate, value, gauge_id, inspector_id, measured_at, import_id, line
         from measurement, again`,
    )
    .run(MEASUREMENTS / 24)
  const count = old.prepare('select count(*) from measurement').pluck().get() as number
  old.close()
  return count
}
