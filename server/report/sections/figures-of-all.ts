import { formatCount, meanDecimals } from '../../../src/words/format.ts'
import { unitText } from '../../../src/words/unit.ts'
import type { ReportContent } from '../../contract/report.ts'
import { left, right, type Section, type Table } from '../document.ts'
import { figureText, indexText, intervalText } from '../report-text.ts'
import { nameOf } from './characteristic-text.ts'

export function figuresOfAll({ characteristics }: ReportContent): Section {
  const table: Table = {
    kind: 'table',
    caption: null,
    columns: [
      left('No.', 34),
      left('Characteristic, unit', 106),
      right('Values\nbuilds', 42),
      right('Mean\nleast\ngreatest', 66),
      right('Sigma within\nbetween\noverall', 66),
      right('Cp', 58),
      right('Cpk', 58),
      right('Pp', 58),
      right('Ppk', 58),
    ],
    rows: characteristics.map((row) => {
      const { characteristic, summary } = row
      const decimals = meanDecimals(characteristic)
      const index = (of: typeof summary.cp) => `${indexText(of)}\n${intervalText(of)}`
      return [
        characteristic.designator,
        `${nameOf(row)}\n${unitText(characteristic.unit)}`,
        `${formatCount(summary.n)}\n${formatCount(summary.builds)}`,
        [summary.mean, summary.min, summary.max].map((each) => figureText(each, decimals)).join('\n'),
        [summary.sigmaWithin, summary.sigmaBetween, summary.sigmaOverall]
          .map((each) => figureText(each, decimals + 1))
          .join('\n'),
        index(summary.cp),
        index(summary.cpk),
        index(summary.pp),
        index(summary.ppk),
      ]
    }),
  }
  return {
    heading: 'Figures',
    startsPage: true,
    blocks: [
      {
        kind: 'paragraph',
        text: `Below each index its interval, at the confidence asked of the characteristic. Cp and Cpk speak of a process in statistical control; for one that moved, read Pp and Ppk.`,
      },
      table,
    ],
  }
}
