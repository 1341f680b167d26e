import { characteristicTitle, formatCount } from '../../../src/words/format.ts'
import type { ReportCharacteristic, ReportContent } from '../../contract/report.ts'
import { type Block, left, right, type Section } from '../document.ts'
import { dayText, entriesText } from '../report-text.ts'

/** Builds, files, and the entries of the record that the figures rest on. */
export function sources(content: ReportContent): Section {
  const { builds, imports } = content.sources
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
          left('Import', 34),
          left('File and its SHA-256', 388),
          left('Who, when', 84),
          right('Entry', 30),
          right('Values', 38),
        ],
        rows: imports.map(({ importId, fileName, sha256, who, at, entry, values }) => [
          String(importId),
          `${fileName}\n${sha256}`,
          `${who}, ${dayText(at)}`,
          entry === null ? '–' : String(entry),
          formatCount(values),
        ]),
      },
      ...recordBlocks(content),
    ],
  }
}

/** A row for those that the same entries are about: a file of gauges or a decision is often about many. */
function alikeByEntries(rows: readonly ReportCharacteristic[]): [string, string][] {
  const names = new Map<string, string[]>()
  for (const { characteristic, record } of rows) {
    const entries = entriesText(record)
    const known = names.get(entries)
    if (known === undefined) names.set(entries, [characteristicTitle(characteristic)])
    else known.push(characteristicTitle(characteristic))
  }
  return [...names].map(([entries, titles]) => [titles.join(', '), entries])
}

/** Which entries shaped which figures. */
function recordBlocks({ record: { last, data }, characteristics }: ReportContent): Block[] {
  if (last === null) return []
  const decided = characteristics.filter(({ record }) => record.length > 0)
  return [
    {
      kind: 'table',
      caption: 'Entries of the record that shaped the figures',
      columns: [left('Characteristics', 230), left('Entries', 280)],
      rows: [
        ...(data.length === 0
          ? []
          : [['all: files taken in and withdrawn, what was erased, what is asked', entriesText(data)]]),
        ...alikeByEntries(decided),
      ],
    },
    {
      kind: 'paragraph',
      text: `Entries are numbered in the order in which things were done, and each has a hash over itself and the one before. That of entry ${last.sequence}, the last one named here, is ${last.hash}: given to the verification of the record, it tells whether anything up to there was cut off or rewritten.`,
    },
  ]
}
