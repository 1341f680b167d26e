import { type ParseArgsConfig, parseArgs } from 'node:util'
import { UsageError } from './terminal.ts'

/**
 * What stands on the command line, read by `parseArgs` of Node.
 *
 * @throws UsageError where it holds what the command does not take
 */
export function parseOptions<Config extends ParseArgsConfig>(
  config: Config,
): ReturnType<typeof parseArgs<Config>> {
  try {
    return parseArgs(config)
  } catch (error) {
    throw new UsageError((error as Error).message)
  }
}

/** What a schema makes of words on the command line. */
type Checked<T> =
  | { readonly success: true; readonly data: T }
  | {
      readonly success: false
      readonly error: {
        readonly issues: readonly { readonly path: PropertyKey[]; readonly message: string }[]
      }
    }

/**
 * The words as the schema takes them.
 *
 * @throws UsageError which names the first that it does not take
 */
export function acceptedBy<T>(result: Checked<T>): T {
  if (result.success) return result.data
  const fault = result.error.issues[0]
  throw new UsageError(`${fault?.path.join('.')}: ${fault?.message}`)
}
