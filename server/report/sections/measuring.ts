import { writtenUnit } from '../../../src/domain/characteristic.ts'
import { formatCount, formatNumber, meanDecimals } from '../../../src/words/format.ts'
import { unitText } from '../../../src/words/unit.ts'
import type { ReportCharacteristic, ReportContent, ReportGauge } from '../../contract/report.ts'
import { type Block, left, right, type Section, type Table } from '../document.ts'
import { indexText, intervalText, percentText } from '../report-text.ts'
import { nameOf } from './characteristic-text.ts'

/** What measuring adds, for characteristics of whose gauge something is known; no section where there is none. */
export function measuring({ characteristics }: ReportContent): Section[] {
  const known = characteristics.flatMap((row) => (row.gauge === undefined ? [] : [{ row, gauge: row.gauge }]))
  if (known.length === 0) return []
  const table: Table = {
    kind: 'table',
    caption: null,
    columns: [
      left('No.', 34),
      left('Characteristic, unit', 104),
      left('Gauge', 84),
      right('Uncertainty\nk = 2', 68),
      right('Gauge takes', 84),
      left('Index', 34),
      right('As measured', 82),
      right('Of the parts alone', 92),
      right('Proved to conform\nnot proved\nproved not to', 84),
      right('Per million\nwrongly accepted\nrejected', 72),
    ],
    rows: known.map(({ row, gauge }) => {
      const { characteristic } = row
      const { conformity, judgement } = gauge
      const indices = INDICES.flatMap(([key, name]) => {
        const index = gauge[key] ?? null
        return index === null ? [] : [{ name, ...index }]
      })
      return [
        characteristic.designator,
        `${nameOf(row)}\n${unitText(writtenUnit(characteristic))}`,
        `${gauge.name ?? 'not named'}\n${gauge.study === null ? 'certificate' : `study ${gauge.study}`}`,
        gauge.expanded === null ? '–' : formatNumber(gauge.expanded, meanDecimals(characteristic)),
        judgement === null
          ? '–'
          : `${percentText(judgement.share.value)} of the ${judgement.of}\n${judgement.sure ? judgement.verdict : 'not settled'}`,
        indices.map(({ name }) => `${name}\n`).join('\n') || '–',
        indices.map(({ plain }) => `${indexText(plain)}\n${intervalText(plain)}`).join('\n') || '–',
        indices
          .map(({ corrected }) =>
            corrected === null
              ? 'none is left\n'
              : `${formatNumber(corrected.value, 2)}\n${limitText(corrected.lower)} to ${limitText(corrected.upper)}`,
          )
          .join('\n') || '–',
        conformity === null
          ? '–'
          : [conformity.conforming, conformity['inside the uncertainty'], conformity['not conforming']]
              .map(formatCount)
              .join('\n'),
        gauge.misjudged === null
          ? '–'
          : [gauge.misjudged.wronglyAccepted, gauge.misjudged.wronglyRejected].map(millionText).join('\n'),
      ]
    }),
  }
  return [
    {
      heading: 'What measuring adds',
      startsPage: true,
      blocks: [
        {
          kind: 'paragraph',
          text: `A value proves that its part conforms where it lies inside the limits by at least the expanded uncertainty of measuring, and that it does not where it lies outside by more (ISO 14253-1); in between it proves neither. Counted are the values of the span, each by the gauge that its row names; where a table of gauges stands below, it says which. Wrongly accepted and rejected are parts judged by the limits as they stand, if parts and errors of measuring scatter normally (JCGM 106). An index of the parts alone is that as measured over √(1 − the gauge’s share of the variance that it takes); verdicts stay with the one as measured. Intervals of indices as measured are at the confidence asked of the characteristic. This supports, and does not replace, the judgement of whoever is responsible; the drawing and the customer’s requirements govern.`,
        },
        table,
        ...judgedBy(known),
      ],
    },
  ]
}

const INDICES = [
  ['cp', 'Cp'],
  ['cpk', 'Cpk'],
  ['pp', 'Pp'],
  ['ppk', 'Ppk'],
] as const

/** Whose uncertainty which values were judged by, where that is not the one gauge of the table above. */
function judgedBy(
  known: readonly { readonly row: ReportCharacteristic; readonly gauge: ReportGauge }[],
): Block[] {
  const rows = known.flatMap(({ row, gauge }) =>
    (gauge.judgedBy ?? [])
      .filter((by, _, { length }) => length > 1 || by.gauge !== gauge.name)
      .map((by) => [
        row.characteristic.designator,
        nameOf(row),
        by.gauge ?? 'not named',
        formatCount(by.values),
        by.expanded === null
          ? 'not known: not judged'
          : `${formatNumber(by.expanded, meanDecimals(row.characteristic))} ${unitText(writtenUnit(row.characteristic))}`,
        by.expanded === null
          ? '–'
          : by.from === by.gauge
            ? 'its own'
            : `that of ${by.from ?? 'a gauge not named'}`,
      ]),
  )
  if (rows.length === 0) return []
  return [
    {
      kind: 'table',
      caption: 'Whose uncertainty the values were judged by',
      columns: [
        left('No.', 34),
        left('Characteristic', 142),
        left('Gauge that rows name', 120),
        right('Values', 60),
        right('Uncertainty, k = 2', 110),
        left('Taken from', 120),
      ],
      rows,
    },
  ]
}

/** A share in a million, whole; "below 1" for what rounds to none. */
function millionText(share: number): string {
  return share < 0.5e-6 ? 'below 1' : formatCount(Math.round(1e6 * share))
}

function limitText(limit: number | null): string {
  return limit === null ? 'no limit' : formatNumber(limit, 2)
}
