import { requirementText } from '../../../src/figures/requirement.ts'
import { characteristicTitle, formatCount } from '../../../src/words/format.ts'
import { unitText } from '../../../src/words/unit.ts'
import type { ReportCharacteristic, ReportContent } from '../../contract/report.ts'
import { type Block, left, right, type Section, type Table } from '../document.ts'
import { indexText, intervalText, shareText } from '../report-text.ts'
import { askedText, nameOf } from './characteristic-text.ts'

export function verdicts({ characteristics, notMeasured }: ReportContent): Section {
  const asked = new Set(characteristics.map(({ summary }) => askedText(summary.requirement)))
  // What is asked of all alike stands above.
  const isAskedApart = asked.size > 1
  const indices = new Set(characteristics.map(({ summary }) => summary.requirement.index))
  const table: Table = {
    kind: 'table',
    caption: null,
    columns: [
      left('No.', 30),
      left('Characteristic', 128),
      left('Requirement', 84),
      right('Values', 40),
      right(indices.size === 1 ? ([...indices][0] as string) : 'Index', 28),
      right('Interval', 66),
      right('Outside, expected', 58),
      left('Control', 76),
      ...(isAskedApart ? [left('Asked', 70)] : []),
      left('Verdict', 64),
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
        shareText(summary.outside.total?.value ?? null),
        controlText(row),
        ...(isAskedApart ? [askedText(summary.requirement)] : []),
        summary.verdict ??
          (summary.requirement.index === 'Cpk' && summary.ppk !== null ? 'no Cpk' : 'no limits'),
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

function controlText({ summary, signals }: ReportCharacteristic): string {
  if (summary.stable) return 'in control'
  const open = signals.filter(({ finding }) => finding === null).length
  return `moved at ${summary.movedAt}${open === 0 ? ', answered' : ''}`
}
