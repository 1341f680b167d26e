import type { Receipt } from '../contract/receipt.ts'

/** What a receipt says however little came of the file. */
export type ReceiptHead = Pick<
  Receipt,
  'verdict' | 'fileName' | 'sha256' | 'bytes' | 'problem' | 'who' | 'at'
>

/** The receipt of a file of which nothing was read: what there is to say, and nothing taken. */
export function blankReceipt(head: ReceiptHead): Receipt {
  return {
    ...head,
    importId: null,
    kind: null,
    dialect: null,
    columns: [],
    rowsRead: 0,
    rowsTaken: 0,
    rowsRefused: 0,
    refused: [],
    notes: [],
    remedies: [],
    partNumbers: [],
    outOfSpecification: 0,
    earlierImportId: null,
  }
}
