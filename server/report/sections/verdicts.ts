import { notJudged } from '../../../src/capability/not-judged.ts'
import { requirementText } from '../../../src/figures/requirement.ts'
import { characteristicTitle, formatCount } from '../../../src/words/format.ts'
import { unitText } from '../../../src/words/unit.ts'
import type { ReportCharacteristic, ReportContent } from '../../contract/report.ts'
import { type Block, left, right, type Section, type Table } from '../document.ts'
import { indexText, intervalText, shareText } from '../report-text.ts'
import { askedText, hasLimits, isProvisional, nameOf } from './characteristic-text.ts'

export function verdicts({ characteristics, notMeasured }: ReportContent): Section {
  const asked = new Set(characteristics.map(({ summary }) => askedText(summary.requirement)))
  // What is asked of all alike stands above.
  const isAskedApart = asked.size > 1
  const indices = new Set(characteristics.map(({ summary }) => summary.requirement.index))
  const table: Table = {
    kind: 'table',
    caption: null,
    columns: [
      left('No.', 20),
      left('Characteristic', 84),
      left('Requirement', 62),
      right('Values', 27),
      right(indices.size === 1 ? ([...indices][0] as string) : 'Index', 22),
      right('Interval', 50),
      right('Outside, counted', 33),
      right('Outside, expected', 42),
      left('First signal', 44),
      ...(isAskedApart ? [left('Asked', 50)] : []),
      left('Verdict', 46),
    ],
    rows: characteristics.map((row) => {
      const { characteristic, summary } = row
      return [
        characteristic.designator,
        nameOf(row),
        `${requirementText(characteristic)} ${unitText(characteristic.unit)}`,
        formatCount(summary.n),
        indexText(summary.judged),
        intervalText(summary.judged),
        hasLimits(row) ? formatCount(row.outside.below + row.outside.above) : '–',
        shareText(summary.outside.total?.value ?? null),
        controlText(row),
        ...(isAskedApart ? [askedText(summary.requirement)] : []),
        summary.verdict ?? notJudged({ ...summary, characteristic }) ?? '–',
      ]
    }),
  }
  const missing: Block[] =
    notMeasured.length === 0
      ? []
      : [
          {
            kind: 'paragraph',
            text: `Not measured in these builds: ${notMeasured.map(characteristicTitle).join('; ')}.`,
          },
        ]
  return { heading: 'Verdict on each characteristic', startsPage: false, blocks: [table, ...missing] }
}

/** The build in which its first signal began, and whether somebody has answered all. */
function controlText({ summary, signals, chart }: ReportCharacteristic): string {
  if (summary.stable) return isProvisional(chart) ? 'none so far' : 'none'
  const open = signals.filter(({ finding }) => finding === null).length
  return `${summary.movedAt}${open === 0 ? ', answered' : ''}`
}
