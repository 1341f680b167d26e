import { existsSync } from 'node:fs'
import { mkdir, open, readFile, rename } from 'node:fs/promises'
import { dirname, join, parse } from 'node:path'
import type { Receipt } from '../contract/receipt.ts'
import { receiptText } from '../receipt-text.ts'
import { sync } from '../sync.ts'

/**
 * Move a file into a folder, its receipt beside it as NAME.receipt.json and NAME.receipt.txt. The receipt is on
 * disk before the file moves, so that a program stopped in between finds the file where it was. A name that is
 * taken gets a number; nothing is written over.
 *
 * @returns where the file is now
 */
export async function putAway(path: string, folder: string, receipt: Receipt): Promise<string> {
  await mkdir(folder, { recursive: true })
  const { name, writeReceipt } = await freeName(folder, receipt)
  if (writeReceipt) {
    await writeDurably(join(folder, `${name}.receipt.txt`), receiptText(receipt))
    await writeDurably(join(folder, `${name}.receipt.json`), `${JSON.stringify(receipt, null, 2)}\n`)
  }
  const moved = join(folder, name)
  await rename(path, moved)
  await sync(folder)
  return moved
}

/**
 * The file's name, or the first numbered one that neither a file nor a receipt has. A receipt without its file is
 * what a stop between the two left behind: where it is of the same bytes, the file gets its place beside it.
 */
async function freeName(folder: string, receipt: Receipt): Promise<{ name: string; writeReceipt: boolean }> {
  const { name: stem, ext } = parse(receipt.fileName)
  for (let i = 1; ; i++) {
    const name = i === 1 ? receipt.fileName : `${stem} (${i})${ext}`
    if (existsSync(join(folder, name))) continue
    const left = await receiptAt(join(folder, `${name}.receipt.json`))
    if (left === null) {
      if (!existsSync(join(folder, `${name}.receipt.json`))) return { name, writeReceipt: true }
    } else if (left.sha256 === receipt.sha256) {
      // The first receipt says what was taken in; that of the second try only that the bytes are known.
      return { name, writeReceipt: left.importId === null }
    }
  }
}

async function receiptAt(path: string): Promise<Receipt | null> {
  try {
    return JSON.parse(await readFile(path, 'utf8')) as Receipt
  } catch {
    return null
  }
}

/** Whole or not at all under its name, and on disk when this returns. */
async function writeDurably(path: string, text: string): Promise<void> {
  const draft = join(dirname(path), `.${parse(path).base}.part`)
  const handle = await open(draft, 'w')
  try {
    await handle.writeFile(text)
    await handle.sync()
  } finally {
    await handle.close()
  }
  await rename(draft, path)
  await sync(dirname(path))
}
