import { type ChildProcess, spawn } from 'node:child_process'
import { once } from 'node:events'
import { existsSync, mkdirSync, readFileSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import { setTimeout as delay } from 'node:timers/promises'
import { fileURLToPath } from 'node:url'
import Database from 'better-sqlite3'
import type { ImportProgress } from '../../server/contract/receipt.ts'
import { openStore } from '../../server/store/store.ts'
import { randomSource } from '../../src/numbers/random-source.ts'
import { lastReceipt } from '../tools/running-server.ts'

/**
 * Kills the program at random moments (SIGKILL) while it takes files in, decides and brings a database up, starts it
 * again, and looks at what is left: all that was answered as done is there, no import is there by half, and the record
 * verifies.
 */

const root = fileURLToPath(new URL('../..', import.meta.url))
const OLD_DATABASE = join(root, 'tests/reference/databases/0300-factor-decisions.sql')

export interface KillCampaign {
  /** An empty folder. */
  readonly folder: string
  readonly kills: number
  readonly seed: number
  /** Longest that the program is left at work before it is killed, in milliseconds. */
  readonly longest: number
  /** Command that starts the program with further options behind it. */
  readonly program: readonly string[]
  readonly onKill?: (tally: KillTally) => void
}

export interface KillTally {
  kills: number
  /** Kills while an import, a decision or the bringing up of a database was under way. */
  duringImports: number
  duringDecisions: number
  duringMigrations: number
  importsDone: number
  decisionsDone: number
  /** Rows answered as taken. */
  rowsDone: number
  /** Everything that was found wrong. */
  readonly faults: string[]
}

/** What was answered as done so far. */
interface Answered {
  /** Rows taken, by name of the file. */
  readonly files: Map<string, number>
  readonly remarks: Set<string>
}

const ROWS = 400
const HEADINGS = 'part_number,revision,serial,build,characteristic,nominal,lower,upper,unit,value\n'

function fileOf(number: number): string {
  const rows = Array.from(
    { length: ROWS },
    (_, i) => `HB-1,A,F${number}-${i >> 1},B${number},${1 + (i % 2)},10,9.9,10.1,mm,10.0${i % 9}`,
  )
  return `${HEADINGS}${rows.join('\n')}\n`
}

/** Runs the campaign; every fault is in the tally. */
export async function killCampaign(campaign: KillCampaign): Promise<KillTally> {
  const { kills, seed, longest } = campaign
  const random = randomSource(seed)
  const tally: KillTally = {
    kills: 0,
    duringImports: 0,
    duringDecisions: 0,
    duringMigrations: 0,
    importsDone: 0,
    decisionsDone: 0,
    rowsDone: 0,
    faults: [],
  }
  const shop = join(campaign.folder, 'shop')
  const answered: Answered = { files: new Map(), remarks: new Set() }
  let number = 0
  while (tally.kills < kills) {
    // One in six is killed while it brings an old database up, in a folder of its own.
    if (random.uniform() < 1 / 6) {
      await killMigration(campaign, join(campaign.folder, `old-${tally.kills}`), random.uniform(), tally)
    } else {
      const after = random.uniform() * longest
      number = await killAtWork(campaign, shop, number, after, tally.kills % 2 === 0, answered, tally)
      await check(shop, answered, tally)
    }
    tally.kills++
    campaign.onKill?.(tally)
  }
  return tally
}

async function killAtWork(
  { program }: KillCampaign,
  shop: string,
  first: number,
  after: number,
  awaitsDone: boolean,
  answered: Answered,
  tally: KillTally,
): Promise<number> {
  const server = start(program, shop)
  const url = await addressOf(server)
  const under = { imports: 0, decisions: 0 }
  let number = first
  let killed = false
  const bring = async () => {
    while (!killed) {
      const name = `file-${number}.csv`
      const body = fileOf(number++)
      under.imports++
      const answer = await fetch(`${url}/api/imports?name=${name}&who=soak`, { method: 'POST', body })
      const receipt = await lastReceipt(url, (await answer.json()) as ImportProgress)
      under.imports--
      if (receipt.verdict !== 'taken') tally.faults.push(`${name} was ${receipt.verdict}`)
      answered.files.set(name, receipt.rowsTaken)
      tally.importsDone++
      tally.rowsDone += receipt.rowsTaken
    }
  }
  const decide = async () => {
    for (let i = 0; !killed; i++) {
      const build = [...answered.files.keys()].at(-1)?.replace(/\D+/g, '')
      if (build === undefined) {
        await delay(5)
        continue
      }
      const text = `remark ${first} ${i}`
      under.decisions++
      const answer = await fetch(`${url}/api/part-numbers/HB-1/A/remarks?stage=sintered`, {
        method: 'POST',
        headers: { 'content-type': 'application/json' },
        body: JSON.stringify({ build: `B${build}`, text, who: 'soak' }),
      })
      // Only once the whole answer is here.
      await answer.arrayBuffer()
      under.decisions--
      if (answer.status === 201) {
        answered.remarks.add(text)
        tally.decisionsDone++
      } else tally.faults.push(`a remark was answered with ${answer.status}`)
    }
  }
  const work = Promise.allSettled([bring(), decide()])
  // Every other time only once something was answered as done, however slow the machine is.
  const before = tally.importsDone
  while (awaitsDone && tally.importsDone === before && server.exitCode === null) await delay(2)
  await delay(after)
  const exit = once(server, 'exit')
  if (under.imports > 0) tally.duringImports++
  if (under.decisions > 0) tally.duringDecisions++
  server.kill('SIGKILL')
  killed = true
  await exit
  await work
  return number
}

async function check(shop: string, answered: Answered, tally: KillTally): Promise<void> {
  const store = await openStore({ file: join(shop, 'as-sintered.sqlite') })
  try {
    const imports = new Map(
      (await store.imports(Number.MAX_SAFE_INTEGER)).map((each) => [each.fileName, each]),
    )
    for (const [name, rows] of answered.files) {
      const found = imports.get(name)
      if (found === undefined) tally.faults.push(`${name} was answered as taken, and is gone`)
      else if (found.rowsTaken !== rows) tally.faults.push(`${name} has ${found.rowsTaken} rows of ${rows}`)
    }
    const [partNumber] = await store.partNumbers()
    const measured = partNumber?.measurements ?? 0
    if (measured !== imports.size * ROWS) {
      tally.faults.push(`${imports.size} imports hold ${measured} measurements`)
    }
    const remarks = new Set(
      partNumber === undefined ? [] : (await store.remarks(partNumber.id)).map(({ text }) => text),
    )
    for (const text of answered.remarks) if (!remarks.has(text)) tally.faults.push(`“${text}” is gone`)
    const { faults } = await store.verifyRecord({ filesFolder: join(shop, 'files') })
    tally.faults.push(...faults.map(({ what }) => what))
  } finally {
    await store.close()
  }
}

async function killMigration(
  { program }: KillCampaign,
  folder: string,
  moment: number,
  tally: KillTally,
): Promise<void> {
  mkdirSync(folder)
  const file = join(folder, 'as-sintered.sqlite')
  const old = new Database(file)
  old.pragma('journal_mode = WAL')
  old.pragma('foreign_keys = OFF')
  old.exec(readFileSync(OLD_DATABASE, 'utf8'))
  old.close()
  const server = start(program, folder)
  const exit = once(server, 'exit')
  // From the copy that is made first until shortly after the program serves.
  const ready = addressOf(server).catch(() => '')
  while (!hasBegun(folder) && server.exitCode === null) await delay(1)
  await Promise.race([delay(moment * 120), ready.then(() => delay(moment * 20))])
  server.kill('SIGKILL')
  await exit
  tally.duringMigrations++
  const store = await openStore({ file })
  try {
    const [partNumber] = await store.partNumbers()
    if (partNumber?.measurements !== 23) tally.faults.push(`a database brought up has lost measurements`)
    const { faults } = await store.verifyRecord()
    tally.faults.push(...faults.map(({ what }) => `brought up: ${what}`))
  } finally {
    await store.close()
    rmSync(folder, { recursive: true, force: true })
  }
}

/** Whether the program has opened the database: its log is there. */
function hasBegun(folder: string): boolean {
  return existsSync(join(folder, 'as-sintered.sqlite-wal'))
}

function start([command = '', ...args]: readonly string[], folder: string): ChildProcess {
  return spawn(command, [...args, '--data', folder, '--port', '0'], {
    cwd: root,
    stdio: ['ignore', 'pipe', 'ignore'],
    env: { ...process.env, AS_SINTERED_LOG_LEVEL: 'error' },
  })
}

/** The address that the program prints once it listens. */
export function addressOf(server: ChildProcess): Promise<string> {
  return new Promise((resolve, reject) => {
    let printed = ''
    server.stdout?.on('data', (chunk: Buffer) => {
      printed += chunk.toString()
      const found = /http:\/\/[^\s/]+/.exec(printed)
      if (found !== null) resolve(found[0])
    })
    server.once('exit', (code) => reject(new Error(`the program ended with ${code}: ${printed}`)))
  })
}
