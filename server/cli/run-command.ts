import { BackupError } from '../backup/manifest.ts'
import { readOptions } from '../options.ts'
import {
  BusyDatabaseError,
  DamagedDatabaseError,
  DatabaseUnreachableError,
  NewerDatabaseError,
} from '../store/errors.ts'
import { backupCommand, restoreCommand } from './backup-command.ts'
import { copyDatabaseCommand } from './copy-database-command.ts'
import { eraseCommand } from './erase-command.ts'
import { personCommand } from './person-command.ts'
import { reportCommand } from './report-command.ts'
import { NoAdministratorError, serveCommand } from './serve-command.ts'
import { takeInCommand } from './take-in-command.ts'
import { type Terminal, USAGE, UsageError } from './terminal.ts'
import { tokenCommand } from './token-command.ts'
import { verifyRecordCommand } from './verify-record-command.ts'
import { verifyReportCommand } from './verify-report-command.ts'

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
    switch (first) {
      case 'serve':
        await serveCommand(readOptions(rest, terminal.environment), terminal)
        return null
      case 'take-in':
        return await takeInCommand(rest, terminal)
      case 'copy-database':
        return await copyDatabaseCommand(rest, terminal)
      case 'report':
        return await reportCommand(rest, terminal)
      case 'verify-report':
        return await verifyReportCommand(rest, terminal)
      case 'person':
        return await personCommand(rest, terminal)
      case 'backup':
        return await backupCommand(rest, terminal)
      case 'restore':
        return await restoreCommand(rest, terminal)
      case 'erase':
        return await eraseCommand(rest, terminal)
      case 'verify-record':
        return await verifyRecordCommand(rest, terminal)
      case 'token':
        return await tokenCommand(rest, terminal)
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
