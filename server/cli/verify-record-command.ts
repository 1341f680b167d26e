import { join } from 'node:path'
import { formatCount } from '../../src/words/format.ts'
import { PLACE_OPTIONS, placeOf } from '../options.ts'
import { openStore } from '../store/store.ts'
import { parseOptions } from './parse-options.ts'
import { type Terminal, UsageError } from './terminal.ts'

/**
 * Walk the record, say what is wrong with it, and print its head.
 *
 * @returns 0 where everything is as it was written, 2 where something is not
 * @throws UsageError
 */
export async function verifyRecordCommand(args: string[], terminal: Terminal): Promise<number> {
  const { out } = terminal
  const values = parse(args)
  const expect = values.expect?.trim().toLowerCase()
  if (expect !== undefined && !/^[0-9a-f]{64}$/.test(expect)) {
    throw new UsageError('--expect takes the 64 hexadecimal digits of a head that was printed earlier.')
  }
  const { dataFolder, database } = placeOf(values, terminal.environment)
  const store = await openStore(database)
  try {
    const filesFolder = values['without-files'] === true ? null : join(dataFolder, 'files')
    const verification = await store.verifyRecord({ expect, filesFolder })
    if (values.json === true) out(JSON.stringify(verification))
    else {
      const { entries, rows, imports, files, erased, faults, faultCount, head, expected } = verification
      const all = formatCount(entries)
      out(
        faultCount === 0
          ? `${all} entries, each as it was written and in its place.`
          : `${formatCount(faultCount)} faults in ${all} entries:`,
      )
      for (const { what } of faults) out(`  ${what}`)
      if (faultCount > faults.length) out(`  and ${formatCount(faultCount - faults.length)} more`)
      out(
        `Compared with them: ${formatCount(rows)} rows, ${formatCount(imports)} imports, ${formatCount(files)} kept files.`,
      )
      if (erased > 0) out(`Something was erased out of ${formatCount(erased)} entries, as others say.`)
      if (expected !== null && expected.sequence !== null)
        out(`The head given is entry ${expected.sequence}; nothing before it was cut off or rewritten.`)
      if (head !== null) out(`Head: entry ${head.sequence}, ${head.hash}`)
    }
    return verification.faultCount === 0 ? 0 : 2
  } finally {
    await store.close()
  }
}

function parse(args: string[]) {
  return parseOptions({
    args,
    options: {
      ...PLACE_OPTIONS,
      expect: { type: 'string' },
      'without-files': { type: 'boolean' },
      json: { type: 'boolean' },
    },
  }).values
}
