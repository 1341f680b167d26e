import { once } from 'node:events'
import { join } from 'node:path'
import { setTimeout as delay } from 'node:timers/promises'
import type { ImportProgress } from '../../server/contract/receipt.ts'
import { openStore } from '../../server/store/store.ts'
import { randomSource } from '../../src/numbers/random-source.ts'
import { lastReceipt } from '../tools/running-server.ts'
import { DECIDED_FILES, DECISION_KINDS, type DecisionKind, marksOnRecord } from './decision-kinds.ts'
import { MIGRATION_STEPS, type MigrationHits, type MigrationStep, migrationKills } from './kill-migrations.ts'
import { addressOf, startProgram } from './running-program.ts'

/**
 * Kills the program at random moments (SIGKILL) while it takes files in, decides and brings a database up, starts it
 * again, and looks at what is left: all that was answered as done is there, no import is there by half, and the record
 * verifies.
 */

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
  /** Kills while an import, or a decision, was under way. */
  duringImports: number
  duringDecisions: number
  /** Kills meant for the bringing up of a database, by what they hit. */
  readonly migrations: MigrationHits
  importsDone: number
  /** Decisions answered as kept, and those under way at a kill, by kind. */
  readonly decisionsDone: Record<string, number>
  readonly decisionsKilled: Record<string, number>
  /** Rows answered as taken. */
  rowsDone: number
  /** Everything that was found wrong. */
  readonly faults: string[]
}

/** What was answered as done so far. */
interface Answered {
  /** Rows taken, by name of the file. */
  readonly files: Map<string, number>
  /** Words of decisions kept. */
  readonly marks: Set<string>
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
  const { kills, seed, longest, program, folder } = campaign
  const random = randomSource(seed)
  const names = DECISION_KINDS.flat().map(({ name }) => [name, 0] as const)
  const tally: KillTally = {
    kills: 0,
    duringImports: 0,
    duringDecisions: 0,
    migrations: { copy: 0, migration: 0, afterwards: 0 },
    importsDone: 0,
    decisionsDone: Object.fromEntries(names),
    decisionsKilled: Object.fromEntries(names),
    rowsDone: 0,
    faults: [],
  }
  const shop = join(folder, 'shop')
  const answered: Answered = { files: new Map(), marks: new Set() }
  await open(program, shop)
  const migrations = migrationKills(join(folder, 'old'), program)
  let number = 0
  let upgrades = 0
  while (tally.kills < kills) {
    // One in six is killed while it brings an old database up, in a folder of its own.
    if (tally.kills % 6 === 3) {
      const step = MIGRATION_STEPS[upgrades++ % MIGRATION_STEPS.length] as MigrationStep
      const { hit, faults } = await migrations.kill(step, random.uniform())
      tally.migrations[hit]++
      tally.faults.push(...faults)
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

/** Have what is decided about taken in. */
async function open(program: readonly string[], shop: string): Promise<void> {
  const server = startProgram(program, shop)
  const exit = once(server, 'exit')
  try {
    const url = await addressOf(server)
    for (const { name, text } of DECIDED_FILES) {
      const { verdict, problem } = await bringFile(url, name, text)
      if (verdict !== 'taken') throw new Error(`${name} was ${verdict}: ${problem?.what}`)
    }
  } finally {
    server.kill('SIGTERM')
    await exit
  }
}

async function bringFile(url: string, name: string, body: string) {
  const answer = await fetch(`${url}/api/imports?name=${name}&who=soak`, { method: 'POST', body })
  return await lastReceipt(url, (await answer.json()) as ImportProgress)
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
  const server = startProgram(program, shop)
  const url = await addressOf(server)
  let importsUnderWay = 0
  const deciding = new Set<string>()
  let number = first
  let killed = false
  const bring = async () => {
    while (!killed) {
      const name = `file-${number}.csv`
      const body = fileOf(number++)
      importsUnderWay++
      const receipt = await bringFile(url, name, body)
      importsUnderWay--
      if (receipt.verdict !== 'taken') tally.faults.push(`${name} was ${receipt.verdict}`)
      answered.files.set(name, receipt.rowsTaken)
      tally.importsDone++
      tally.rowsDone += receipt.rowsTaken
    }
  }
  const get = async <T>(path: string): Promise<T> => {
    const answer = await fetch(url + path)
    const text = await answer.text()
    if (answer.ok) return JSON.parse(text) as T
    tally.faults.push(`${path}: ${answer.status} ${text}`)
    throw new Error(path)
  }
  const decide = async (kinds: readonly DecisionKind[]) => {
    // Each kill begins with another kind.
    for (let turn = tally.kills; !killed; turn++) {
      const { name, prepare } = kinds[turn % kinds.length] as DecisionKind
      const mark = `${name} ${tally.kills} ${turn}`
      const decision = await prepare(get, mark, turn)
      if (decision === null) {
        await delay(1)
        continue
      }
      deciding.add(name)
      const answer = await fetch(url + decision.path, {
        method: 'POST',
        headers: { 'content-type': 'application/json' },
        body: JSON.stringify(decision.body),
      })
      // Only once the whole answer is here.
      const text = await answer.text()
      deciding.delete(name)
      if (answer.ok) {
        answered.marks.add(mark)
        tally.decisionsDone[name] = (tally.decisionsDone[name] ?? 0) + 1
      } else tally.faults.push(`${name}: ${answer.status} ${text}`)
    }
  }
  const work = Promise.allSettled([bring(), ...DECISION_KINDS.map(decide)])
  // Every other time only once something was answered as done, however slow the machine is.
  const before = tally.importsDone
  while (awaitsDone && tally.importsDone === before && server.exitCode === null) await delay(2)
  await delay(after)
  const exit = once(server, 'exit')
  if (importsUnderWay > 0) tally.duringImports++
  if (deciding.size > 0) tally.duringDecisions++
  for (const name of deciding) tally.decisionsKilled[name] = (tally.decisionsKilled[name] ?? 0) + 1
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
      (await store.imports(Number.MAX_SAFE_INTEGER))
        .filter(({ fileName }) => fileName.startsWith('file-'))
        .map((each) => [each.fileName, each]),
    )
    for (const [name, rows] of answered.files) {
      const found = imports.get(name)
      if (found === undefined) tally.faults.push(`${name} was answered as taken, and is gone`)
      else if (found.rowsTaken !== rows) tally.faults.push(`${name} has ${found.rowsTaken} rows of ${rows}`)
    }
    const partNumber = (await store.partNumbers()).find((each) => each.number === 'HB-1')
    const measured = partNumber?.measurements ?? 0
    const counting = [...imports.values()].filter(({ withdrawn }) => !withdrawn).length
    if (measured !== counting * ROWS) {
      tally.faults.push(`${counting} imports that count hold ${measured} measurements`)
    }
    const marks = await marksOnRecord(store)
    for (const mark of answered.marks) if (!marks.has(mark)) tally.faults.push(`“${mark}” is gone`)
    const { faults } = await store.verifyRecord({ filesFolder: join(shop, 'files') })
    tally.faults.push(...faults.map(({ what }) => what))
  } finally {
    await store.close()
  }
}
