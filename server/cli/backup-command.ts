import { join } from 'node:path'
import { formatCount } from '../../src/words/format.ts'
import { makeBackup } from '../backup/make-backup.ts'
import { restoreBackup } from '../backup/restore-backup.ts'
import { PLACE_OPTIONS, placeOf } from '../options.ts'
import { parseOptions } from './parse-options.ts'
import { type Terminal, UsageError } from './terminal.ts'

/**
 * Back up the data folder while the program runs.
 *
 * @returns the status to end with
 * @throws UsageError, BackupError
 */
export async function backupCommand(args: string[], { environment, out }: Terminal): Promise<number> {
  const { values, positionals } = parse(args)
  const [to] = positionals
  if (to === undefined || positionals.length > 1) throw new UsageError('backup takes one folder to write to.')
  const { dataFolder, database } = placeOf(values, environment)
  if (!('file' in database)) {
    throw new UsageError(
      'backup is for SQLite. Back up a PostgreSQL database with pg_dump, and the folder of the files with it: see “Backup” in the guide.',
    )
  }
  const { head, files, filesNotHeld } = await makeBackup({
    database: database.file,
    filesFolder: join(dataFolder, 'files'),
    to,
    withoutFiles: values['without-files'] ?? false,
  })
  out(`Backed up to ${to}: the database and ${formatCount(files.length)} kept files, read once more.`)
  if (filesNotHeld.length > 0) {
    out(`${formatCount(filesNotHeld.length)} kept files are named in it with their hashes, and not in it.`)
  }
  if (head !== null) out(`Head: entry ${head.sequence}, ${head.hash}`)
  return 0
}

/**
 * Put a backup into an empty data folder.
 *
 * @returns 0 where everything is as the backup states, 2 where the record of it has faults
 * @throws UsageError, BackupError
 */
export async function restoreCommand(args: string[], { environment, out }: Terminal): Promise<number> {
  const { values, positionals } = parse(args)
  const [from] = positionals
  if (from === undefined || positionals.length > 1) throw new UsageError('restore takes one backup.')
  if (values.database !== undefined) throw new UsageError('restore puts the database into the data folder.')
  const { dataFolder } = placeOf(values, environment)
  const { manifest, verification } = await restoreBackup(from, dataFolder)
  const { entries, faults, faultCount } = verification
  out(`Restored into ${dataFolder}: the database and ${formatCount(manifest.files.length)} kept files.`)
  if (manifest.filesNotHeld.length > 0) {
    out(
      `${formatCount(manifest.filesNotHeld.length)} kept files are not in the backup: copy them into ${join(dataFolder, 'files')}.`,
    )
  }
  for (const { what } of faults) out(`  ${what}`)
  out(
    faultCount === 0
      ? `${formatCount(entries)} entries of the record, each as it was written and in its place.`
      : `The record has ${formatCount(faultCount)} faults.`,
  )
  return faultCount === 0 ? 0 : 2
}

function parse(args: string[]) {
  return parseOptions({
    args,
    allowPositionals: true,
    options: { ...PLACE_OPTIONS, 'without-files': { type: 'boolean' } },
  })
}
