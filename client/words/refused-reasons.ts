import type { RefusedRow } from '../../server/contract/receipt.ts'

/** Rows that were refused for one reason; never empty, in the order of the file. */
export type AlikeRows = readonly [RefusedRow, ...RefusedRow[]]

/**
 * Refused rows gathered by what is wrong with them, in the order in which the reasons come. Reasons are alike where they
 * differ in nothing but what they quote and in names and numbers.
 */
export function byReason(refused: readonly RefusedRow[]): readonly AlikeRows[] {
  const gathered = new Map<string, [RefusedRow, ...RefusedRow[]]>()
  for (const row of refused) {
    const key = JSON.stringify([row.column, alike(row.reason)])
    const known = gathered.get(key)
    if (known === undefined) gathered.set(key, [row])
    else known.push(row)
  }
  return [...gathered.values()]
}

function alike(reason: string): string {
  return reason.replace(/"[^"]*"/g, '""').replace(/\S*\d\S*/g, '0')
}
