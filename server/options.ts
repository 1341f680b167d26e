import { realpathSync } from 'node:fs'
import { dirname, isAbsolute, join, relative, resolve, sep } from 'node:path'
import { type Entrance, isLoopbackName, LOOPBACK_NAMES, proxyList } from './access/connection.ts'
import { parseOptions } from './cli/parse-options.ts'
import { UsageError } from './cli/terminal.ts'
import type { MailSettings } from './event-notices/mail.ts'
import { LOG_LEVELS, type LogLevel } from './log.ts'
import { locationOf, type StoreLocation } from './store/location.ts'
import type { IntegrityCheck } from './store/sqlite/backup.ts'
import type { Unattended } from './watch/watched-folder.ts'

/** Where everything is kept. */
export interface Place {
  /** Folder of the files taken in and, unless it is elsewhere, of the database. */
  readonly dataFolder: string
  readonly database: StoreLocation
}

/** How the server is run. */
export interface Options {
  readonly place: Place
  readonly host: string
  readonly port: number
  /** Folder whose files are taken in as they appear; null for none. */
  readonly watch: string | null
  /** What is done with such files where nobody can be asked; without these, whatever is not clear is refused. */
  readonly unattended: Unattended
  /** What stands between browsers and the server. */
  readonly entrance: Entrance
  readonly logLevel: LogLevel
  /** Mail server for notices; null where none is set. */
  readonly mail: MailSettings | null
  /** Address that links in notices begin with, as `--site` gives it; null where it gives none. */
  readonly address: string | null
  /** How an SQLite database is looked through before it opens. */
  readonly check: IntegrityCheck | 'none'
  /** Fills an empty database with the sample shop before it opens. */
  readonly sample: boolean
}

/**
 * Options from the command line, then the environment, then defaults.
 *
 * @throws UsageError
 */
export function readOptions(args: string[], environment: NodeJS.ProcessEnv): Options {
  const { values } = parse(args)
  const port = Number(values.port ?? environment.AS_SINTERED_PORT ?? 4180)
  if (!Number.isInteger(port) || port < 0 || port > 65_535) {
    throw new UsageError(
      `--port takes a whole number from 0 to 65535, not "${values.port ?? environment.AS_SINTERED_PORT}"`,
    )
  }
  const place = placeOf(values, environment)
  const watch = values.watch ?? environment.AS_SINTERED_WATCH ?? ''
  const keepsDatabase = 'file' in place.database && real(dirname(place.database.file)) === real(watch)
  if (watch !== '' && (isWithin(watch, place.dataFolder) || keepsDatabase)) {
    throw new UsageError(
      `--watch cannot be where the data are, since the database itself would be taken for a file brought: ${watch}`,
    )
  }
  const host = values.host ?? environment.AS_SINTERED_HOST ?? '127.0.0.1'
  const sites = listOf(values.site ?? environment.AS_SINTERED_SITE).map(siteOf)
  return {
    place,
    host,
    port,
    entrance: {
      isProxy: proxiesOf(listOf(values.proxy ?? environment.AS_SINTERED_PROXY)),
      names: namesOf(
        host,
        sites.map(({ name }) => name),
      ),
    },
    logLevel: logLevelOf(values['log-level'] ?? environment.AS_SINTERED_LOG_LEVEL ?? 'info'),
    mail: mailOf(environment),
    address: sites.find(({ address }) => address !== null)?.address ?? null,
    watch: watch === '' ? null : resolve(watch),
    unattended: {
      takeGoodRows: values['watch-take-good-rows'] ?? environment.AS_SINTERED_WATCH_TAKE_GOOD_ROWS === 'true',
      keepDoubtful: values['watch-keep-doubtful'] ?? environment.AS_SINTERED_WATCH_KEEP_DOUBTFUL === 'true',
    },
    check: checkOf(values.check ?? 'quick'),
    sample: values.sample ?? false,
  }
}

function checkOf(text: string): Options['check'] {
  if (text === 'quick' || text === 'whole' || text === 'none') return text
  throw new UsageError(`--check takes quick, whole or none, not "${text}"`)
}

/** Options of `parseArgs` that every command has. */
export const PLACE_OPTIONS = { data: { type: 'string' }, database: { type: 'string' } } as const

/** Data folder and database from the command line, then the environment, then the defaults. */
export function placeOf(
  given: { readonly data?: string | undefined; readonly database?: string | undefined },
  environment: NodeJS.ProcessEnv,
): Place {
  const dataFolder = resolve(given.data ?? environment.AS_SINTERED_DATA ?? 'data')
  const database = given.database ?? environment.AS_SINTERED_DATABASE ?? ''
  return { dataFolder, database: locationOf(database || join(dataFolder, 'as-sintered.sqlite')) }
}

function logLevelOf(given: string): LogLevel {
  const level = LOG_LEVELS.find((known) => known === given)
  if (level === undefined) throw new UsageError(`--log-level takes ${LOG_LEVELS.join(', ')}, not "${given}"`)
  return level
}

/** From the environment alone, since a command line can be read by other users of the machine. */
function mailOf(environment: NodeJS.ProcessEnv): MailSettings | null {
  const host = environment.AS_SINTERED_SMTP_HOST ?? ''
  if (host === '') return null
  const encryption = environment.AS_SINTERED_SMTP_ENCRYPTION ?? 'starttls'
  if (encryption !== 'starttls' && encryption !== 'tls' && encryption !== 'none') {
    throw new UsageError(`AS_SINTERED_SMTP_ENCRYPTION takes starttls, tls or none, not "${encryption}"`)
  }
  const port = Number(environment.AS_SINTERED_SMTP_PORT ?? (encryption === 'tls' ? 465 : 587))
  if (!Number.isInteger(port) || port < 1 || port > 65_535) {
    throw new UsageError(`AS_SINTERED_SMTP_PORT takes a whole number from 1 to 65535`)
  }
  const sender = environment.AS_SINTERED_SMTP_SENDER ?? ''
  if (sender === '')
    throw new UsageError('AS_SINTERED_SMTP_SENDER is to name the address that e-mail comes from')
  const user = environment.AS_SINTERED_SMTP_USER ?? ''
  const password = environment.AS_SINTERED_SMTP_PASSWORD ?? ''
  return { host, port, encryption, sender, user: user || null, password: password || null }
}

/** A name under which browsers reach the server, or its whole address, which links can be made of. */
function siteOf(given: string): { readonly name: string; readonly address: string | null } {
  if (!given.includes('/')) return { name: given, address: null }
  const url = URL.canParse(given) ? new URL(given) : null
  if (
    url === null ||
    !/^https?:$/.test(url.protocol) ||
    url.origin !== given.replace(/\/$/, '').toLowerCase()
  ) {
    throw new UsageError(`--site takes names, or addresses such as https://spc.example, not "${given}"`)
  }
  return { name: url.hostname, address: url.origin }
}

/** Values between commas. */
function listOf(given: string | undefined): string[] {
  return (given ?? '')
    .split(',')
    .map((each) => each.trim())
    .filter((each) => each !== '')
}

function proxiesOf(given: readonly string[]): (address: string) => boolean {
  try {
    return proxyList(given)
  } catch (error) {
    throw new UsageError(
      `--proxy takes addresses such as 10.0.0.7 or networks such as 10.0.0.0/8, not "${(error as Error).message}"`,
    )
  }
}

/**
 * Names under which browsers may reach the server. At this machine's own address these are its names to itself, unless
 * more are given: a page from elsewhere could otherwise have its own name lead here, and read everything.
 */
function namesOf(host: string, given: readonly string[]): ReadonlySet<string> | null {
  if (isLoopbackName(host))
    return new Set([...LOOPBACK_NAMES, host, ...given].map((name) => name.toLowerCase()))
  return given.length === 0 ? null : new Set(given.map((name) => name.toLowerCase()))
}

function isWithin(path: string, folder: string): boolean {
  const way = relative(real(folder), real(path))
  return way === '' || (way !== '..' && !way.startsWith(`..${sep}`) && !isAbsolute(way))
}

/** Without links where the path is there; as given where it is not. */
function real(path: string): string {
  try {
    return realpathSync(path)
  } catch {
    return resolve(path)
  }
}

function parse(args: string[]) {
  return parseOptions({
    args,
    options: {
      ...PLACE_OPTIONS,
      port: { type: 'string' },
      host: { type: 'string' },
      watch: { type: 'string' },
      'watch-take-good-rows': { type: 'boolean' },
      'watch-keep-doubtful': { type: 'boolean' },
      proxy: { type: 'string' },
      site: { type: 'string' },
      'log-level': { type: 'string' },
      sample: { type: 'boolean' },
      check: { type: 'string' },
    },
  })
}
