import { createHash } from 'node:crypto'
import { readdir, stat } from 'node:fs/promises'
import { basename, join } from 'node:path'
import { now } from '../clock.ts'
import type { ImportChoices, Receipt } from '../contract/receipt.ts'
import { naturalOrder } from '../store/natural-order.ts'
import type { Store } from '../store/store.ts'
import { bytesOf } from './decode.ts'
import { type TakeInOptions, takeIn, type WaitingFile } from './take-in.ts'

/** Folders in the order in which their files refer to one another. */
const FOLDERS = ['characteristics', 'builds', 'furnace-loads', 'measurements', 'gauges'] as const

export interface FolderProgress {
  readonly state: 'reading' | 'writing'
  readonly fileName: string
  readonly bytesRead: number
  readonly bytesTotal: number
  readonly rowsRead: number
}

/**
 * Take in the files of a shop laid out in folders: characteristics, builds, furnace-loads, measurements, gauges.
 * Each file is an import of its own; the first that is refused ends it, and those before it stay.
 *
 * @returns one receipt for all: that of the file which ended it, or the sums
 */
export async function takeInFolder(
  store: Store,
  folder: string,
  choices: ImportChoices,
  options: Omit<TakeInOptions, 'onProgress'> & { readonly onProgress?: (progress: FolderProgress) => void },
): Promise<Receipt> {
  const files = await filesOf(folder)
  // Nobody is there to be asked: what is doubtful stands on the receipts of its files.
  const kept: ImportChoices = { ...choices, doubts: choices.doubts ?? { all: 'keep' } }
  const bytesTotal = files.reduce((sum, file) => sum + file.bytes, 0)
  const receipts: Receipt[] = []
  let bytesBefore = 0
  let rowsBefore = 0
  for (const file of files) {
    const receipt = await takeIn(store, await hashed(file), kept, {
      ...options,
      onProgress: (state, bytesRead, rowsRead) =>
        options.onProgress?.({
          state,
          fileName: file.fileName,
          bytesRead: bytesBefore + bytesRead,
          bytesTotal,
          rowsRead: rowsBefore + rowsRead,
        }),
    })
    if (receipt.verdict !== 'taken' && receipt.verdict !== 'taken-in-part' && receipt.verdict !== 'known') {
      const before = `${receipts.length} of ${files.length} files were taken in before this one and stay.`
      return { ...receipt, notes: [...receipt.notes, { text: before }] }
    }
    receipts.push(receipt)
    bytesBefore += file.bytes
    rowsBefore += receipt.rowsRead
  }
  return summed(basename(folder), receipts, choices, bytesTotal)
}

type FoundFile = Omit<WaitingFile, 'sha256' | 'isOurs'>

async function filesOf(folder: string): Promise<FoundFile[]> {
  const files: FoundFile[] = []
  for (const name of FOLDERS) {
    const entries = await readdir(join(folder, name)).catch((error: NodeJS.ErrnoException) => {
      if (error.code === 'ENOENT') return []
      throw error
    })
    for (const entry of entries.filter((e) => e.endsWith('.csv')).sort(naturalOrder)) {
      const path = join(folder, name, entry)
      files.push({ path, fileName: entry, bytes: (await stat(path)).size })
    }
  }
  return files
}

async function hashed(file: FoundFile): Promise<WaitingFile> {
  const hash = createHash('sha256')
  for await (const bytes of bytesOf(file.path)) hash.update(bytes)
  return { ...file, sha256: hash.digest('hex'), isOurs: false }
}

function summed(
  fileName: string,
  receipts: readonly Receipt[],
  choices: ImportChoices,
  bytes: number,
): Receipt {
  const sum = (of: (receipt: Receipt) => number) =>
    receipts.reduce((total, receipt) => total + of(receipt), 0)
  const partNumbers = new Map(
    receipts.flatMap((r) => r.partNumbers).map((p) => [`${p.number}\n${p.revision}`, p]),
  )
  const known = receipts.filter((receipt) => receipt.verdict === 'known').length
  return {
    importId: null,
    verdict: known === receipts.length ? 'known' : 'taken',
    fileName,
    sha256: '',
    bytes,
    kind: null,
    dialect: null,
    columns: [],
    rowsRead: sum((r) => r.rowsRead),
    rowsTaken: sum((r) => r.rowsTaken),
    rowsRefused: sum((r) => r.rowsRefused),
    refused: [],
    notes: [
      { text: `${receipts.length - known} files were taken in, each with a receipt of its own.` },
      ...(known === 0 ? [] : [{ text: `${known} files were known already.` }]),
    ],
    problem: null,
    remedies: [],
    partNumbers: [...partNumbers.values()],
    outOfSpecification: sum((r) => r.outOfSpecification),
    who: choices.who,
    at: now(),
    earlierImportId: null,
  }
}
