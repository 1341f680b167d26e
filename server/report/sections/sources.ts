import { formatCount } from '../../../src/words/format.ts'
import type { ReportContent } from '../../contract/report.ts'
import { left, right, type Section } from '../document.ts'
import { dayText } from '../report-text.ts'

export function sources({ sources: { builds, imports } }: ReportContent): Section {
  return {
    heading: 'Where the values came from',
    startsPage: true,
    blocks: [
      {
        kind: 'table',
        caption: 'Builds, powder lots, furnace loads, gauges',
        columns: [
          left('Build', 70),
          left('Printed', 60),
          left('Printer', 70),
          left('Powder lot, reuse', 90),
          right('Parts', 36),
          left('Furnace load, furnace, profile', 170),
          left('Gauges', 90),
        ],
        rows: builds.map(
          ({ name, printedAt, printer, powderLot, powderReuse, parts, furnaceLoads, gauges }) => [
            name,
            dayText(printedAt),
            printer ?? '–',
            powderLot === null ? '–' : powderReuse === null ? powderLot : `${powderLot}, ${powderReuse}`,
            formatCount(parts),
            furnaceLoads
              .map((load) =>
                [load.name, load.furnace, load.profile].filter((each) => each !== null).join(', '),
              )
              .join('; ') || '–',
            gauges.join(', ') || '–',
          ],
        ),
      },
      {
        kind: 'table',
        caption: 'Files taken in',
        columns: [
          left('Import', 36),
          left('File and its SHA-256', 356),
          left('Who, when', 100),
          right('Values', 50),
        ],
        rows: imports.map(({ importId, fileName, sha256, who, at, values }) => [
          String(importId),
          `${fileName}\n${sha256}`,
          `${who}, ${dayText(at)}`,
          formatCount(values),
        ]),
      },
    ],
  }
}
