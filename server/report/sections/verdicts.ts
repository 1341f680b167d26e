import { requirementText } from '../../../src/figures/requirement.ts'
import { characteristicTitle, formatCount } from '../../../src/words/format.ts'
import { unitText } from '../../../src/words/unit.ts'
import type { ReportCharacteristic, ReportContent } from '../../contract/report.ts'
import { type Block, left, right, type Section, type Table } from '../document.ts'
import { indexText, intervalText, shareText } from '../report-text.ts'
import { askedText, nameOf } from './characteristic-text.ts'

export function verdicts({ characteristics, notMeasured }: ReportContent): Section {
  const table: Table = {
    kind: 'table',
    caption: null,
    columns: [
      left('No.', 34),
      left('Characteristic', 142),
      left('Requirement', 80),
      right('Values', 44),
      right('Index', 30),
      right('Interval', 62),
      right('Outside, expected', 60),
      left('Control', 76),
      left('Asked', 62),
      left('Verdict', 58),
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
        askedText(summary.requirement),
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
  return { heading: 'Verdict on each characteristic', level: 1, blocks: [table, ...missing] }
}

function controlText({ summary, signals }: ReportCharacteristic): string {
  if (summary.stable) return 'in control'
  const open = signals.filter(({ finding }) => finding === null).length
  return `moved at ${summary.movedAt}${open === 0 ? ', answered' : ''}`
}
