import type { Receipt } from '../contract/receipt.ts'
import type { SourceRows } from '../contract/source-rows.ts'
import { FileProblemError } from '../intake/faults.ts'
import type { Intake } from '../intake/jobs.ts'
import { type SoughtCell, sourceRows } from '../intake/source-rows.ts'
import { notFound, ProblemError } from '../problem.ts'

/** Rows of the kept file of an import. @throws ProblemError where its bytes are gone, or hold no such row */
export async function keptRows(
  intake: Intake,
  receipt: Receipt,
  line: number,
  sought: SoughtCell,
): Promise<SourceRows> {
  const path = intake.keptFile(receipt.sha256)
  if (path === null) {
    throw new ProblemError(410, {
      what: `The file of import ${receipt.importId} is not kept any more, so that its line ${line} cannot be shown.`,
      where: receipt.fileName,
      next: 'The record says whether and by whom it was erased; the values stay on record.',
    })
  }
  return await rowsIn(path, receipt, line, sought)
}

/** Rows of a file that lies at `path`. @throws ProblemError where it has no such row, or cannot be read again */
export async function rowsIn(
  path: string,
  receipt: Receipt,
  line: number,
  sought: SoughtCell,
): Promise<SourceRows> {
  try {
    const rows = await sourceRows(path, receipt, line, sought)
    if (rows !== null) return rows
  } catch (error) {
    if (error instanceof FileProblemError) throw new ProblemError(422, error.problem)
    throw error
  }
  throw notFound(`No row of ${receipt.fileName} begins on line ${line}.`, 'Take the line from the receipt.')
}
