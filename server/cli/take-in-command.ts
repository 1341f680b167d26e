import { mkdirSync } from 'node:fs'
import { userInfo } from 'node:os'
import { join } from 'node:path'
import type { ImportChoices, Receipt } from '../contract/receipt.ts'
import { importChoices } from '../contract/requests.ts'
import { takeIn } from '../intake/take-in.ts'
import { PLACE_OPTIONS, placeOf } from '../options.ts'
import { openOwnFolder } from '../own-folder.ts'
import { receiptText } from '../receipt-text.ts'
import { openStore } from '../store/store.ts'
import { acceptedBy, parseOptions } from './parse-options.ts'
import { patientStore } from './patient-store.ts'
import { stageFile } from './staged-file.ts'
import { type Terminal, UsageError } from './terminal.ts'

/** A build has a name like any other. */
const choicesOfScript = importChoices.extend({ build: importChoices.shape.partNumber })

/** What a script goes by. */
const TAKEN = 0
const FAILED = 1
const REFUSED = 2

/**
 * Take files in from the command line, through the same pipeline as all others, and print their receipts. Each
 * file is an import of its own; one that is refused does not keep the next from being taken in. The server may
 * be running on the same database meanwhile.
 *
 * @returns the status to end with
 * @throws UsageError
 */
export async function takeInCommand(args: string[], terminal: Terminal): Promise<number> {
  const { values, positionals } = parse(args)
  if (positionals.length === 0) throw new UsageError('take-in needs the files to take in.')
  const choices = choicesOf(values)
  const { dataFolder, database } = placeOf(values, terminal.environment)
  mkdirSync(dataFolder, { recursive: true })
  const opened = await openStore(database)
  const store = patientStore(opened, terminal.err)
  const staging = openOwnFolder(join(dataFolder, 'waiting'))
  // A transaction that is cut off is as if it had never begun; only the copy is left to be cleared away.
  const stop = () => {
    staging.close()
    process.exit(FAILED)
  }
  process.once('SIGINT', stop)
  process.once('SIGTERM', stop)
  let status = TAKEN
  try {
    for (const path of positionals) {
      try {
        const file = await stageFile(path, staging.path)
        const receipt = await takeIn(store, file, choices, { filesFolder: join(dataFolder, 'files') })
        terminal.out(values.json ? JSON.stringify(receipt) : receiptText(receipt))
        if (status === TAKEN && !isIn(receipt)) status = REFUSED
      } catch (error) {
        terminal.err(`${path}: ${(error as Error).message}`)
        status = FAILED
      }
    }
  } finally {
    process.off('SIGINT', stop)
    process.off('SIGTERM', stop)
    staging.close()
    await opened.close()
  }
  return status
}

function isIn({ verdict }: Receipt): boolean {
  return verdict === 'taken' || verdict === 'taken-in-part' || verdict === 'known'
}

function choicesOf(values: ReturnType<typeof parse>['values']): ImportChoices {
  return acceptedBy(
    choicesOfScript.safeParse({
      who: values.who ?? userInfo().username,
      takeGoodRows: values['take-good-rows'] ?? false,
      convertUnits: values['convert-units'] ?? false,
      partNumber: values['part-number'] ?? null,
      revision: values.revision ?? null,
      build: values.build ?? null,
      ...(values['keep-doubtful'] ? { doubts: { all: 'keep' } } : {}),
    }),
  )
}

function parse(args: string[]) {
  return parseOptions({
    args,
    allowPositionals: true,
    options: {
      ...PLACE_OPTIONS,
      who: { type: 'string' },
      'take-good-rows': { type: 'boolean' },
      'keep-doubtful': { type: 'boolean' },
      'convert-units': { type: 'boolean' },
      'part-number': { type: 'string' },
      revision: { type: 'string' },
      build: { type: 'string' },
      json: { type: 'boolean' },
    },
  })
}
