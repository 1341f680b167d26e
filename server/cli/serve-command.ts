import { existsSync, mkdirSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { serve } from '@hono/node-server'
import { isLoopbackName } from '../access/connection.ts'
import { createApp } from '../app.ts'
import { now } from '../clock.ts'
import type { Sending } from '../event-notices/send.ts'
import { noticeService } from '../event-notices/service.ts'
import { createIntake } from '../intake/jobs.ts'
import { createLog } from '../log.ts'
import type { Options } from '../options.ts'
import { DamagedDatabaseError } from '../store/errors.ts'
import { locationInWords } from '../store/location.ts'
import { integrityFault } from '../store/sqlite/backup.ts'
import { openStore } from '../store/store.ts'
import { watchFolder } from '../watch/watched-folder.ts'
import type { Terminal } from './terminal.ts'

/** Milliseconds between two looks at the watched folder. A file is taken in when two of them find it the same. */
const LOOK_EVERY = 2000

/** Milliseconds for the headings of a request, and for all of it: a large file may come over a slow network. */
const SERVER_OPTIONS = {
  headersTimeout: 15_000,
  requestTimeout: 30 * 60_000,
  connectionsCheckingInterval: 5000,
}
/** Connections at once; more are closed as they come. */
const MOST_CONNECTIONS = 2000

/** The package's own folder, from dist/node/server/cli as from server/cli. */
function packageFolder(): string {
  const here = fileURLToPath(new URL('..', import.meta.url))
  return here.includes(join('dist', 'node')) ? join(here, '..', '..', '..') : join(here, '..')
}

/** Nobody could let people in. */
export class NoAdministratorError extends Error {
  override readonly name = 'NoAdministratorError'

  constructor(host: string) {
    super(
      `At ${host} others could reach the program, and no administrator is on record who could let people in.\n` +
        'Put one on record first, with the same --data or --database:\n\n' +
        '  node dist/node/server/main.js person add NAME --role administrator\n\n' +
        'At 127.0.0.1, the default, one person at this machine needs none.',
    )
  }
}

const NO_LINKS =
  'Notices are sent without links, since the address that readers reach this server at is not known: ' +
  'start it with --site https://NAME.'

/**
 * Where links lead: the address given, or where the server listens, if that is how it is reached; null where nobody said.
 *
 * @param port that it listens at, which the system chooses where 0 was asked for
 */
export function linkAddress(
  { address, host }: Pick<Options, 'address' | 'host'>,
  port: number,
): string | null {
  return (
    address ??
    (isLoopbackName(host)
      ? `http://${host.includes(':') && !host.startsWith('[') ? `[${host}]` : host}:${port}`
      : null)
  )
}

/**
 * Serve the program until it is told to stop. Returns once it is on its way up.
 *
 * @throws DamagedDatabaseError where the database file is not sound
 * @throws NoAdministratorError where others could reach it and nobody could let them in
 */
export async function serveCommand(options: Options, terminal: Terminal): Promise<void> {
  const { dataFolder, database } = options.place
  mkdirSync(dataFolder, { recursive: true })
  if ('file' in database && options.check !== 'none' && existsSync(database.file)) {
    const fault = integrityFault(database.file, options.check)
    if (fault !== null) throw new DamagedDatabaseError(database.file, fault)
  }
  const store = await openStore(database)
  if (!isLoopbackName(options.host) && !(await store.hasAdministrator())) {
    await store.close()
    throw new NoAdministratorError(options.host)
  }
  const intake = createIntake({ store, dataFolder })
  const root = packageFolder()
  const sampleFolder = join(root, 'sample-data')
  if (options.sample && (await store.partNumbers()).length === 0) {
    terminal.out('Taking in the sample shop …')
    await intake.finished(await intake.acceptFolder(sampleFolder))
  }
  let port = options.port
  const sending: Sending = {
    mail: options.mail,
    get address() {
      return linkAddress(options, port)
    },
  }
  const notices = noticeService(store, sending, now, terminal.err)
  const app = createApp({
    store,
    intake,
    sampleFolder,
    clientFolder: join(root, 'dist', 'client'),
    entrance: options.entrance,
    log: createLog(options.logLevel),
    sending,
  })
  const where = { hostname: options.host, port: options.port, serverOptions: SERVER_OPTIONS }
  const server = serve({ fetch: app.fetch, ...where }, (address) => {
    port = address.port
    terminal.out(`as-sintered is at http://${options.host}:${port}/`)
    if (sending.address === null) terminal.out(NO_LINKS)
    terminal.out(`Data are kept in ${dataFolder}`)
    if ('connection' in database) terminal.out(`The database is ${locationInWords(database)}`)
  })
  if ('maxConnections' in server) server.maxConnections = MOST_CONNECTIONS
  server.on('error', (error: NodeJS.ErrnoException) => {
    terminal.err(
      error.code === 'EADDRINUSE'
        ? `Port ${options.port} is taken by another program. Choose another with --port or AS_SINTERED_PORT.`
        : error.message,
    )
    process.exit(1)
  })
  const watch =
    options.watch === null
      ? null
      : watchFolder({
          folder: options.watch,
          intake,
          unattended: options.unattended,
          say: terminal.out,
        })
  if (options.watch !== null) terminal.out(`Files in ${options.watch} are taken in as they appear`)
  watch?.start(LOOK_EVERY)
  notices.start()
  const stop = async () => {
    server.close()
    // Stopped first, so that it begins nothing; a file on its way ends with the intake.
    const watchEnded = watch?.stop()
    await intake.close()
    await watchEnded
    await notices.stop()
    // Pages that listen for notices would hold it open.
    if ('closeAllConnections' in server) server.closeAllConnections()
    await store.close()
  }
  process.once('SIGINT', () => void stop())
  process.once('SIGTERM', () => void stop())
}
