import { formatCount, meanDecimals, valueDecimals } from '../../../src/words/format.ts'
import { unitText } from '../../../src/words/unit.ts'
import type { ReportContent } from '../../contract/report.ts'
import { left, right, type Section, type Table } from '../document.ts'
import { figureText, indexText, intervalText, NARROW, valueText } from '../report-text.ts'
import { nameOf } from './characteristic-text.ts'

export function figuresOfAll({ characteristics }: ReportContent): Section {
  const table: Table = {
    kind: 'table',
    caption: null,
    columns: [
      left('No.', 20),
      left('Characteristic, unit', 74),
      right('Values\nbuilds', 28),
      right('Mean', 38),
      right('Least\ngreatest', 38),
      right('Sigma within\nbetween\noverall', 47),
      right('Cp', 47),
      right('Cpk', 47),
      right('Pp', 47),
      right('Ppk', 47),
    ],
    rows: characteristics.map((row) => {
      const { characteristic, summary } = row
      const decimals = meanDecimals(characteristic)
      const index = (of: typeof summary.cp) => `${indexText(of)}\n${intervalText(of)}`
      return [
        characteristic.designator,
        `${nameOf(row)}\n${unitText(characteristic.unit)}`,
        `${formatCount(summary.n)}\n${formatCount(summary.builds)}`,
        figureText(summary.mean, decimals, NARROW),
        [summary.min, summary.max]
          .map((each) => valueText(each, valueDecimals(characteristic), NARROW))
          .join('\n'),
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
        text: `Below each index its interval, at the confidence asked of the characteristic. Cp and Cpk speak of a process in statistical control; for one that was not in it, read Pp and Ppk.`,
      },
      table,
    ],
  }
}
