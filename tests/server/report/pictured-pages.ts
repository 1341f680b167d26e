import type { Report } from '../../../server/contract/report.ts'
import type { Plate, ReportDocument } from '../../../server/report/document.ts'
import { layOut } from '../../../server/report/layout.ts'
import { drawUpReport } from '../../../server/report/make-report.ts'
import { pdfOf } from '../../../server/report/pdf.ts'
import type { PaperSize } from '../../../server/report/plate-size.ts'
import { openReportShop } from './report-shop.ts'

/** Pages of a report that are kept as pictures in tests/reference/report, and how they are printed. */

export interface PicturedPage {
  /** Name of the picture's file. */
  readonly name: string
  readonly paper: PaperSize
  readonly page: number
}

export const PICTURED: readonly PicturedPage[] = [
  { name: 'a4-verdict.png', paper: 'a4', page: 1 },
  { name: 'a4-two-characteristics.png', paper: 'a4', page: 4 },
  { name: 'letter-two-characteristics.png', paper: 'letter', page: 4 },
]

/** Dots per inch of the pictures. */
export const PICTURE_DPI = 50

/** The report of the awkward shop, with a number, a time and a fingerprint that are the same each time. */
export async function picturedReport(): Promise<Report> {
  const shop = await openReportShop()
  try {
    const partNumber = await shop.store.partNumber('HB-204', 'C')
    if (partNumber === null) throw new Error('not filled')
    const wanted = { stage: 'sintered' as const, required: 1.33, confidence: 0.95 }
    const report = await drawUpReport(shop.store, partNumber, wanted, 'Ines Quark')
    return { ...report, number: 12, madeAt: 1_790_000_000, fingerprint: '0123456789abcdef'.repeat(4) }
  } finally {
    await shop.close()
  }
}

/** @param change of what is printed */
export async function printed(
  report: Report,
  paper: PaperSize,
  change: (plate: Plate) => Plate = (plate) => plate,
): Promise<Buffer> {
  const document = layOut(report, paper)
  const changed: ReportDocument = {
    ...document,
    sections: document.sections.map((section) => ({
      ...section,
      blocks: section.blocks.map((block) => (block.kind === 'plate' ? change(block) : block)),
    })),
  }
  return await pdfOf(changed, {
    paper,
    logo: null,
    attachment: { name: 'report.json', bytes: Buffer.from('{}') },
  })
}
