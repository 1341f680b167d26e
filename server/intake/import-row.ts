import type { FileKind, Receipt } from '../contract/receipt.ts'

/** What the record lists of an import, with its receipt as a whole. */
export function importRow(receipt: Receipt) {
  return {
    id: receipt.importId as number,
    sha256: receipt.sha256,
    file_name: receipt.fileName,
    bytes: receipt.bytes,
    kind: receipt.kind as FileKind,
    verdict: receipt.verdict,
    who: receipt.who,
    at: receipt.at,
    rows_read: receipt.rowsRead,
    rows_taken: receipt.rowsTaken,
    rows_refused: receipt.rowsRefused,
    out_of_specification: receipt.outOfSpecification,
    receipt: JSON.stringify(receipt),
  }
}
