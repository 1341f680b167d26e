/**
 * How the cost of the overview and of a chart grows with the measurements on record and with the builds:
 *
 *     npx tsx tests/bench/scale.ts [greatest number of measurements on SQLite] [on PostgreSQL]
 *
 * 10 000 000 and 1 000 000 unless said otherwise. All shops are filled first, through the store's writer, without files. Then
 * each is asked until nothing of the program is compiled or read for the first time any more, and then by turns, so that
 * what else the machine does falls on all of them alike. Before every question something is committed that changes the
 * cells of the last build, as an import does. Times are medians, by the clock, and in rows of their own the processor time
 * of the process, which other work on the machine disturbs less; that of PostgreSQL's own processes is not in it.
 */
import { mkdirSync, mkdtempSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { createApp } from '../../server/app.ts'
import { createIntake, type Intake } from '../../server/intake/jobs.ts'
import type { StoreLocation } from '../../server/store/location.ts'
import { openStore, type Store } from '../../server/store/store.ts'
import { chartView, driftView } from '../../server/views/drift-view.ts'
import { momentsOf } from '../../src/description/moments.ts'
import { type RunningPostgres, startPostgres } from '../tools/postgres.ts'
import { unrecorded } from '../tools/unrecorded.ts'
import { memoryAtRest } from './at-rest.ts'
import { distributionRows } from './distribution.ts'
import { fillShop } from './fill-shop.ts'
import { type BenchRow, median, row, runAlone } from './rows.ts'

const CHARACTERISTICS = 40
const BUILDS = 2000
/** Of the shops by which the cost by builds is told, in which each cell has 2.5 values or more. */
const MEASUREMENTS_BY_BUILDS = 4e5
const FEW_BUILDS = 1000
const MANY_BUILDS = 4000

const WARMING_ROUNDS = 4
const ROUNDS = 11

/** Ten thousand measurements do not fill every cell; from a hundred thousand on there are equally many. */
const FULL_CELLS = 1e5

const QUESTIONS = ['overview', 'overview as answered', 'chart', 'chart as answered'] as const
type Question = (typeof QUESTIONS)[number]

interface Times {
  readonly clock: number[]
  /** Processor time of this process. */
  readonly work: number[]
  /** Asked again, without a commit. */
  readonly again: number[]
}

/** A filled database with everything that is asked of it. */
interface Shop {
  readonly engine: 'SQLite' | 'PostgreSQL'
  readonly measurements: number
  readonly builds: number
  readonly folder: string
  readonly store: Store
  readonly intake: Intake
  readonly ask: Readonly<Record<Question, () => Promise<unknown>>>
  /** Changes the cells of the last build. */
  commit(): Promise<void>
  readonly times: Readonly<Record<Question, Times>>
  readonly bytes: number
}

await runAlone(import.meta.url, ([onSqlite, onPostgres]) =>
  scaleBench(Number(onSqlite ?? 1e7), Number(onPostgres ?? 1e6)),
)

/** @param greatestOnSqlite a power of ten, ten thousand or more, as the other */
export async function scaleBench(greatestOnSqlite: number, greatestOnPostgres: number): Promise<BenchRow[]> {
  const folder = mkdtempSync(join(tmpdir(), 'as-sintered-bench-'))
  const postgres = await startPostgres({ shared_buffers: '256MB', max_wal_size: '4GB' })
  const shops: Shop[] = []
  try {
    for (let n = 1e4; n <= greatestOnSqlite; n *= 10) shops.push(await sqliteShop(folder, n, BUILDS))
    for (let n = FULL_CELLS; n <= greatestOnPostgres; n *= 10) {
      shops.push(await postgresShop(folder, postgres, n, BUILDS))
    }
    for (const builds of [FEW_BUILDS, MANY_BUILDS]) {
      shops.push(await sqliteShop(folder, MEASUREMENTS_BY_BUILDS, builds))
    }
    for (let round = -WARMING_ROUNDS; round < ROUNDS; round++) {
      // Each shop has another before it in every round.
      const first = (round + WARMING_ROUNDS) % shops.length
      for (const shop of [...shops.slice(first), ...shops.slice(0, first)]) await askAll(shop, round >= 0)
    }
    const rows = rowsOf(shops)
    for (const shop of shops) await close(shop)
    const largest = shops.findLast(({ builds, engine }) => engine === 'SQLite' && builds === BUILDS) as Shop
    const rest = (await memoryAtRest(largest.folder)) / 1e6
    rows.push(row(`server at rest with ${count(largest.measurements)}, SQLite`, rest, 'MB'))
    for (const shop of shops) rmSync(shop.folder, { recursive: true, force: true })
    rows.push(...(await distributionRows({ file: join(folder, 'one.sqlite') }, greatestOnSqlite, BUILDS)))
    const connection = await postgres.createDatabase()
    rows.push(
      ...(await distributionRows({ connection }, greatestOnPostgres, BUILDS, () =>
        postgres.sizeOf(connection),
      )),
    )
    return rows
  } finally {
    await postgres.stop()
    rmSync(folder, { recursive: true, force: true })
  }
}

function count(n: number): string {
  return n.toLocaleString('en')
}

async function sqliteShop(parent: string, measurements: number, builds: number): Promise<Shop> {
  const folder = join(parent, `${measurements}-${builds}`)
  mkdirSync(folder)
  // Where the program looks for it in its data folder.
  const file = join(folder, 'as-sintered.sqlite')
  const size = async () => statSync(file).size
  return await openShop('SQLite', folder, { file }, measurements, builds, size, async () => undefined)
}

async function postgresShop(parent: string, postgres: RunningPostgres, measurements: number, builds: number) {
  const folder = join(parent, `postgres-${measurements}`)
  mkdirSync(folder)
  const connection = await postgres.createDatabase()
  const size = () => postgres.sizeOf(connection)
  const settle = () => postgres.settle(connection)
  return await openShop('PostgreSQL', folder, { connection }, measurements, builds, size, settle)
}

async function openShop(
  engine: Shop['engine'],
  folder: string,
  location: StoreLocation,
  measurements: number,
  builds: number,
  size: () => Promise<number>,
  settle: () => Promise<void>,
): Promise<Shop> {
  const filling = await openStore(location)
  const { cells } = await fillShop(filling, { measurements, builds, characteristics: CHARACTERISTICS })
  await filling.close()
  await settle()
  const bytes = await size()
  const store = await openStore(location)
  const intake = createIntake({ store, dataFolder: folder })
  const app = createApp({ store, intake, sampleFolder: folder, clientFolder: folder })
  const partNumber = await store.partNumber('HB-204', 'C')
  if (partNumber === null) throw new Error('nothing was filled in')
  const [characteristic] = await store.characteristics(partNumber.id)
  if (characteristic === undefined) throw new Error('no characteristics')
  const answered = (what: string) => async () => {
    const answer = await app.request(`/api/part-numbers/HB-204/C/${what}?stage=sintered`, {
      headers: { 'accept-encoding': 'gzip' },
    })
    if (answer.status !== 200) throw new Error(`${what} answers ${answer.status}`)
    return await answer.arrayBuffer()
  }
  const ofLastBuild = Math.min(CHARACTERISTICS, Math.ceil(measurements / builds))
  const last = Array.from({ length: ofLastBuild }, (_, i) => cells - i)
  // The last cell is of the last characteristic, whose nominal is as much above 10 as its number.
  const likely = (id: number) => 10 + CHARACTERISTICS - (cells - id)
  return {
    engine,
    measurements,
    builds,
    folder,
    store,
    intake,
    ask: {
      overview: () => driftView(store, partNumber, 'sintered'),
      'overview as answered': answered('drift'),
      chart: () => chartView(store, partNumber, characteristic, 'sintered'),
      'chart as answered': answered(`characteristics/${characteristic.designator}/chart`),
    },
    commit: () =>
      unrecorded(store).write((writer) =>
        writer.mergeCells(new Map(last.map((id) => [id, momentsOf([likely(id)])]))),
      ),
    times: {
      overview: noTimes(),
      'overview as answered': noTimes(),
      chart: noTimes(),
      'chart as answered': noTimes(),
    },
    bytes,
  }
}

function noTimes(): Times {
  return { clock: [], work: [], again: [] }
}

async function close({ store, intake }: Shop): Promise<void> {
  await intake.close()
  await store.close()
}

async function askAll(shop: Shop, counts: boolean): Promise<void> {
  for (const question of QUESTIONS) {
    const ask = shop.ask[question]
    await shop.commit()
    const [begun, before] = [performance.now(), process.cpuUsage()]
    await ask()
    const clock = performance.now() - begun
    const { user, system } = process.cpuUsage(before)
    const asked = performance.now()
    await ask()
    if (!counts) continue
    const { [question]: times } = shop.times
    times.clock.push(clock)
    times.work.push((user + system) / 1000)
    times.again.push(performance.now() - asked)
  }
}

function rowsOf(shops: readonly Shop[]): BenchRow[] {
  const find = (engine: Shop['engine'], measurements: number, builds = BUILDS) =>
    shops.find(
      (shop) => shop.engine === engine && shop.measurements === measurements && shop.builds === builds,
    )
  const rows = shops
    .filter(({ builds }) => builds === BUILDS)
    .flatMap((shop) => {
      const { engine, measurements, bytes } = shop
      const other =
        engine === 'PostgreSQL'
          ? find('SQLite', measurements)
          : measurements > FULL_CELLS
            ? find('SQLite', FULL_CELLS)
            : undefined
      const what = engine === 'PostgreSQL' ? 'SQLite' : `the same of ${count(FULL_CELLS)}`
      const of = `of ${count(measurements)}, ${engine}`
      return [
        ...QUESTIONS.flatMap((question) => rowsOfQuestion(`${question} ${of}`, question, shop, what, other)),
        row(`database ${of}`, bytes / measurements, 'B a value'),
      ]
    })
  const few = find('SQLite', MEASUREMENTS_BY_BUILDS, FEW_BUILDS) as Shop
  const many = find('SQLite', MEASUREMENTS_BY_BUILDS, MANY_BUILDS) as Shop
  // Four is proportional to the builds.
  for (const question of QUESTIONS) {
    const name = `${question} of ${count(MANY_BUILDS)} builds, SQLite`
    rows.push(...rowsOfQuestion(name, question, many, `${count(FEW_BUILDS)} builds`, few))
  }
  return rows
}

function rowsOfQuestion(
  name: string,
  question: Question,
  { engine, times }: Shop,
  what: string,
  other: Shop | undefined,
): BenchRow[] {
  const beside = (of: 'clock' | 'work') =>
    other === undefined ? null : { what, measured: median(other.times[question][of]) }
  const { clock, work, again } = times[question]
  const isAnswer = question.endsWith('as answered')
  return [
    row(`${name}, after a commit`, median(clock), 'ms', beside('clock')),
    row(`${name}, processor time`, median(work), 'ms', engine === 'SQLite' ? beside('work') : null),
    ...(isAnswer ? [row(`${name}, again`, median(again), 'ms')] : []),
  ]
}
