import { resolve } from 'node:path'
import { parseArgs } from 'node:util'

/** How the server is run. */
export interface Options {
  /** Folder of the database and of the files taken in. */
  readonly dataFolder: string
  readonly host: string
  readonly port: number
  /** Fills an empty database with the sample shop before it opens. */
  readonly sample: boolean
}

export const USAGE = `as-sintered [options]

  --data FOLDER   folder of the database and of the files taken in
                  (default: data; environment: AS_SINTERED_DATA)
  --port NUMBER   port to listen on (default: 4180; environment: AS_SINTERED_PORT)
  --host NAME     address to listen on (default: 127.0.0.1; environment: AS_SINTERED_HOST)
  --sample        fill an empty database with the sample shop
  --help          show this text
`

/** Wrong words on the command line; the message says which. */
export class UsageError extends Error {
  override readonly name = 'UsageError'
}

/**
 * Options from the command line, then the environment, then defaults.
 *
 * @returns 'help' where the text above is asked for
 * @throws UsageError
 */
export function readOptions(args: string[], environment: NodeJS.ProcessEnv): Options | 'help' {
  const { values } = parse(args)
  if (values.help) return 'help'
  const port = Number(values.port ?? environment.AS_SINTERED_PORT ?? 4180)
  if (!Number.isInteger(port) || port < 0 || port > 65_535) {
    throw new UsageError(
      `--port takes a whole number from 0 to 65535, not "${values.port ?? environment.AS_SINTERED_PORT}"`,
    )
  }
  return {
    dataFolder: resolve(values.data ?? environment.AS_SINTERED_DATA ?? 'data'),
    host: values.host ?? environment.AS_SINTERED_HOST ?? '127.0.0.1',
    port,
    sample: values.sample ?? false,
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
        sample: { type: 'boolean' },
        help: { type: 'boolean' },
      },
    })
  } catch (error) {
    throw new UsageError((error as Error).message)
  }
}
