import { readFileSync } from 'node:fs'
import type { Verification } from '../contract/report.ts'
import { PLACE_OPTIONS, placeOf } from '../options.ts'
import { NotAReportError } from '../report/attached.ts'
import { verifyFile, verifyNumber } from '../report/verify.ts'
import { openStore, type Store } from '../store/store.ts'
import { parseOptions } from './parse-options.ts'
import { type Terminal, UsageError } from './terminal.ts'

/** What a script goes by. */
const STATUS: Readonly<Record<Verification['verdict'], number>> = {
  follows: 0,
  changed: 2,
  altered: 3,
  unknown: 1,
}

/**
 * Say whether reports, by file or by number, still follow from the data on record.
 *
 * @returns the greatest status of all: 0 where everything follows, 2 where something changed since, 3 where a file
 *   does not state what it was made with, 1 where it cannot be told
 * @throws UsageError
 */
export async function verifyReportCommand(args: string[], terminal: Terminal): Promise<number> {
  const { values, positionals } = parse(args)
  if (positionals.length === 0)
    throw new UsageError('verify-report needs the files or the numbers of reports.')
  const store = await openStore(placeOf(values, terminal.environment).database)
  try {
    let status = 0
    for (const wanted of positionals) {
      const verification = await verify(store, wanted, terminal)
      if (verification !== null) say(wanted, verification, terminal)
      status = Math.max(status, verification === null ? 1 : STATUS[verification.verdict])
    }
    return status
  } finally {
    await store.close()
  }
}

async function verify(store: Store, wanted: string, { err }: Terminal): Promise<Verification | null> {
  if (/^\d+$/.test(wanted)) {
    const verification = await verifyNumber(store, Number(wanted))
    if (verification === null) err(`There is no report ${wanted} on record.`)
    return verification
  }
  try {
    return await verifyFile(store, readFileSync(wanted))
  } catch (error) {
    const isForPeople = error instanceof NotAReportError || (error as NodeJS.ErrnoException).code === 'ENOENT'
    if (!isForPeople) throw error
    err(`${wanted}: ${(error as Error).message}`)
    return null
  }
}

function say(wanted: string, { said, grounds, changes, changeCount }: Verification, { out }: Terminal): void {
  out(`${wanted}: ${said}`)
  for (const ground of grounds) out(`  ${ground}`)
  for (const { where, what, was, is } of changes) {
    out(`  ${where}${where === what ? '' : `, ${what}`}: was ${was ?? 'not there'}, is ${is ?? 'not there'}`)
  }
  if (changeCount > changes.length) out(`  and ${changeCount - changes.length} more`)
}

function parse(args: string[]) {
  return parseOptions({ args, allowPositionals: true, options: PLACE_OPTIONS })
}
