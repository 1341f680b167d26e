import { userInfo } from 'node:os'
import { join } from 'node:path'
import { formatCount } from '../../src/words/format.ts'
import { now } from '../clock.ts'
import { type ErasureDone, type ErasureWanted, erasureRequest } from '../contract/erasure.ts'
import { erase, previewErasure } from '../erase.ts'
import { PLACE_OPTIONS, placeOf } from '../options.ts'
import { StillSigningInError } from '../store/erasure/erasure-writes.ts'
import { openStore } from '../store/store.ts'
import { parseOptions } from './parse-options.ts'
import { patientStore } from './patient-store.ts'
import { type Terminal, UsageError } from './terminal.ts'

/**
 * Erase parts, a person's name or kept files; without --yes, say what it would take.
 *
 * @returns the status to end with
 * @throws UsageError
 */
export async function eraseCommand(args: string[], terminal: Terminal): Promise<number> {
  const { values, positionals } = parse(args)
  const asked = erasureRequest.safeParse({
    wanted: wantedBy(positionals, values['with-files'] ?? false),
    who: values.who ?? userInfo().username,
    reason: values.reason,
    preview: values.yes !== true,
  })
  if (!asked.success) throw new UsageError(asked.error.issues[0]?.message ?? 'erase cannot read this.')
  const { wanted, who, reason, preview } = asked.data
  const { dataFolder, database } = placeOf(values, terminal.environment)
  const opened = await openStore(database)
  try {
    const store = patientStore(opened, terminal.err)
    const grounds = { who, reason, at: now() }
    const done = await (preview
      ? previewErasure(store, wanted, grounds)
      : erase(store, join(dataFolder, 'files'), wanted, grounds))
    if (done === null) {
      terminal.err('Nothing of this is on record: it was erased already, or never was here.')
      return 1
    }
    say(done, preview, terminal)
    return 0
  } catch (error) {
    if (!(error instanceof StillSigningInError)) throw error
    terminal.err('This person may sign in still. Keep them from signing in first.')
    return 1
  } finally {
    await opened.close()
  }
}

function wantedBy([what, ...names]: string[], files: boolean): ErasureWanted | null {
  if (what === 'parts') {
    const [partNumber = '', revision = '', ...serials] = names
    return { what, partNumber, revision, serials, files }
  }
  if (what === 'person' && names.length === 1) return { what, name: names[0] as string }
  if (what === 'files') return { what, imports: names.map(Number) }
  throw new UsageError('erase takes parts NUMBER REVISION SERIAL…, person NAME, or files IMPORT….')
}

function say(done: ErasureDone, preview: boolean, { out }: Terminal): void {
  const { parts, measurements, imports, files, rows, entries, pseudonym, reports, entry } = done
  out(preview ? 'This would erase, for good:' : 'Erased:')
  if (pseudonym !== null) out(`  a name, in whose place stands ${pseudonym}, in ${formatCount(rows)} rows`)
  else out(`  ${formatCount(parts)} parts, ${formatCount(measurements)} measurements`)
  out(`  ${formatCount(files.length)} kept files`)
  out(`  words of ${formatCount(entries)} entries of the record`)
  if (imports.length > 0 && files.length === 0) {
    out(`The kept files of imports ${imports.join(', ')} hold them still; --with-files erases these as well.`)
  }
  if (reports.length > 0) out(`Reports ${reports.join(', ')} name it, and stay as they were given out.`)
  out(preview ? 'Nothing was erased. Say --yes to do it.' : `Entry ${entry} of the record says so.`)
}

function parse(args: string[]) {
  return parseOptions({
    args,
    allowPositionals: true,
    options: {
      ...PLACE_OPTIONS,
      who: { type: 'string' },
      reason: { type: 'string' },
      'with-files': { type: 'boolean' },
      yes: { type: 'boolean' },
    },
  })
}
