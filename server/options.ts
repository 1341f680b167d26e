import { realpathSync } from 'node:fs'
import { isAbsolute, join, relative, resolve, sep } from 'node:path'
import { parseArgs } from 'node:util'
import { UsageError } from './cli/terminal.ts'
import type { StoreLocation } from './store/store.ts'

/** How the server is run. */
export interface Options {
  /** Folder of the database and of the files taken in. */
  readonly dataFolder: string
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
  const dataFolder = dataFolderOf(values.data, environment)
  const watch = values.watch ?? environment.AS_SINTERED_WATCH ?? ''
  if (watch !== '' && isWithin(watch, dataFolder)) {
    throw new UsageError(
      `--watch cannot be the data folder or lie in it, since the database itself would be taken for a file brought: ${watch}`,
    )
  }
  return {
    dataFolder,
    host: values.host ?? environment.AS_SINTERED_HOST ?? '127.0.0.1',
    port,
    watch: watch === '' ? null : resolve(watch),
    sample: values.sample ?? false,
  }
}

/** The data folder from the command line, then the environment, then the default. */
export function dataFolderOf(given: string | undefined, environment: NodeJS.ProcessEnv): string {
  return resolve(given ?? environment.AS_SINTERED_DATA ?? 'data')
}

/** Where a data folder has its database. */
export function databaseIn(dataFolder: string): StoreLocation {
  return { file: join(dataFolder, 'as-sintered.sqlite') }
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
        data: { type: 'string' },
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
