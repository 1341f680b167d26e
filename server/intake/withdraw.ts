import { now } from '../clock.ts'
import type { Receipt } from '../contract/receipt.ts'
import type { Store } from '../store/store.ts'

/**
 * Take the measurements of an import out again, whole. They stay on record apart from those that count, with who
 * withdrew them and why, and so does the file.
 *
 * @returns its receipt with the withdrawal on it
 * @throws Error where there is no such import of measurements, or it was withdrawn before
 */
export async function withdraw(
  store: Store,
  importId: number,
  who: string,
  reason: string,
): Promise<Receipt> {
  const at = now()
  const receipt = await store.write((writer) => writer.withdraw(importId, { who, reason, at }))
  if (receipt === null) throw new Error(`import ${importId} has no measurements that could be withdrawn`)
  return receipt
}
