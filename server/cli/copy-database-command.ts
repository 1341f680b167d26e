import { createHash } from 'node:crypto'
import { createReadStream } from 'node:fs'
import { dirname, join } from 'node:path'
import { pipeline } from 'node:stream/promises'
import { CopyError, copyDatabase } from '../store/copy.ts'
import { locationInWords, locationOf } from '../store/location.ts'
import { openStore } from '../store/store.ts'
import { parseOptions } from './parse-options.ts'
import { type Terminal, UsageError } from './terminal.ts'

/**
 * Copy a database into another, empty one, read the copy back, and see that the files taken in are still there as
 * they were: they stay in the data folder, since they are kept under their hash and not in the database.
 *
 * @returns the status to end with: 0 where the copy is whole, 1 where there is none, 2 where a file is missing
 * @throws UsageError
 */
export async function copyDatabaseCommand(args: string[], terminal: Terminal): Promise<number> {
  const { from, to, data } = parse(args)
  const [source, target] = [locationOf(from), locationOf(to)]
  try {
    const records = await copyDatabase(source, target, progressTo(terminal))
    for (const [table, count] of Object.entries(records)) terminal.out(`${table}: ${count}`)
  } catch (error) {
    if (!(error instanceof CopyError)) throw error
    terminal.err(`${error.message} Nothing was copied.`)
    return 1
  }
  terminal.out('Every record was read back the same, and every cell sums up its values.')
  const dataFolder = data ?? ('file' in source ? dirname(source.file) : null)
  if (dataFolder !== null && !(await filesAreThere(from, join(dataFolder, 'files'), terminal))) return 2
  terminal.out(
    `Start the program with --database ${locationInWords(target)} (and its password) from here on.`,
  )
  return 0
}

function progressTo(terminal: Terminal): (table: string, records: number) => void {
  let said = Date.now()
  return (table, records) => {
    if (Date.now() - said < 2000) return
    said = Date.now()
    terminal.err(`${table}: ${records} …`)
  }
}

/** Whether each file on record is kept under its hash, byte for byte. */
async function filesAreThere(from: string, folder: string, terminal: Terminal): Promise<boolean> {
  const store = await openStore(locationOf(from))
  const imports = await store.imports(Number.MAX_SAFE_INTEGER)
  await store.close()
  let missing = 0
  for (const { sha256, fileName, importId } of imports) {
    if ((await hashOf(join(folder, sha256))) === sha256) continue
    missing++
    terminal.err(`Import ${importId}, ${fileName}: its file is not in ${folder} as it was.`)
  }
  terminal.out(
    `Files stay in ${folder}: ${imports.length - missing} of ${imports.length} are there as they were. ` +
      'Keep the folder with the new database, for both belong together.',
  )
  return missing === 0
}

/** Null where the file cannot be read. */
async function hashOf(path: string): Promise<string | null> {
  const hash = createHash('sha256')
  try {
    await pipeline(createReadStream(path), hash)
  } catch {
    return null
  }
  return hash.digest('hex')
}

function parse(args: string[]): { from: string; to: string; data: string | undefined } {
  const { from, to, data } = parseOptions({
    args,
    options: { from: { type: 'string' }, to: { type: 'string' }, data: { type: 'string' } },
  }).values
  if (from === undefined || to === undefined) throw new UsageError('copy-database needs --from and --to.')
  return { from, to, data }
}
