import { realpathSync } from 'node:fs'
import { dirname, isAbsolute, join, relative, resolve, sep } from 'node:path'
import { parseArgs } from 'node:util'
import { UsageError } from './cli/terminal.ts'
import { locationOf, type StoreLocation } from './store/location.ts'

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
  return {
    place,
    host: values.host ?? environment.AS_SINTERED_HOST ?? '127.0.0.1',
    port,
    watch: watch === '' ? null : resolve(watch),
    sample: values.sample ?? false,
  }
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
  try {
    return parseArgs({
      args,
      options: {
        ...PLACE_OPTIONS,
        port: { type: 'string' },
        host: { type: 'string' },
        watch: { type: 'string' },
        sample: { type: 'boolean' },
      },
    })
  } catch (error) {
    throw new UsageError((error as Error).message)
  }
}
