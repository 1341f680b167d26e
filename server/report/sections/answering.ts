import type { ReportContent } from '../../contract/report.ts'
import type { Section } from '../document.ts'

/** What the reader has to bear in mind, and who answers for the report. */
export function answering({ cautions }: ReportContent): Section {
  return {
    heading: 'Cautions, and who answers for this report',
    startsPage: false,
    blocks: [
      { kind: 'list', items: cautions },
      { kind: 'signatures', roles: ['Prepared by', 'Checked by', 'Accepted for the customer by'] },
    ],
  }
}
