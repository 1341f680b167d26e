import { BackupError } from '../backup/manifest.ts'
import { readOptions } from '../options.ts'
import {
  BusyDatabaseError,
  DamagedDatabaseError,
  DatabaseUnreachableError,
  NewerDatabaseError,
} from '../store/errors.ts'
import { NoAdministratorError, serveCommand } from './serve-command.ts'
import { type Terminal, USAGE, UsageError } from './terminal.ts'

/** Errors whose message says everything to whoever ran the command. */
const FOR_PEOPLE = [
  BackupError,
  BusyDatabaseError,
  DamagedDatabaseError,
  DatabaseUnreachableError,
  NewerDatabaseError,
  NoAdministratorError,
]

/**
 * Do what the words on the command line say; without a command, serve.
 *
 * @returns the status to end with; null while a server runs
 */
export async function runCommand(args: string[], terminal: Terminal): Promise<number | null> {
  try {
    const [first = 'serve', ...rest] = args[0]?.startsWith('-') ? ['serve', ...args] : args
    if (args.includes('--help')) {
      terminal.out(USAGE)
      return 0
    }
    // Each command loads what it needs: a server would hold all of it in memory as long as it runs.
    switch (first) {
      case 'serve':
        await serveCommand(readOptions(rest, terminal.environment), terminal)
        return null
      case 'take-in':
        return await (await import('./take-in-command.ts')).takeInCommand(rest, terminal)
      case 'copy-database':
        return await (await import('./copy-database-command.ts')).copyDatabaseCommand(rest, terminal)
      case 'report':
        return await (await import('./report-command.ts')).reportCommand(rest, terminal)
      case 'verify-report':
        return await (await import('./verify-report-command.ts')).verifyReportCommand(rest, terminal)
      case 'person':
        return await (await import('./person-command.ts')).personCommand(rest, terminal)
      case 'backup':
        return await (await import('./backup-command.ts')).backupCommand(rest, terminal)
      case 'restore':
        return await (await import('./backup-command.ts')).restoreCommand(rest, terminal)
      case 'erase':
        return await (await import('./erase-command.ts')).eraseCommand(rest, terminal)
      case 'verify-record':
        return await (await import('./verify-record-command.ts')).verifyRecordCommand(rest, terminal)
      case 'token':
        return await (await import('./token-command.ts')).tokenCommand(rest, terminal)
      default:
        throw new UsageError(`There is no command "${first}".`)
    }
  } catch (error) {
    if (error instanceof UsageError) terminal.err(`${error.message}\n\n${USAGE}`)
    else if (FOR_PEOPLE.some((kind) => error instanceof kind)) terminal.err((error as Error).message)
    else terminal.err(error instanceof Error ? (error.stack ?? error.message) : String(error))
    return 1
  }
}
