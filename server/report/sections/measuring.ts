import { writtenUnit } from '../../../src/domain/characteristic.ts'
import { formatCount, formatNumber } from '../../../src/words/format.ts'
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
      left('Characteristic, unit', 150),
      left('Gauge, known from', 110),
      right('Uncertainty\nk = 2', 64),
      right('Proved\nto conform', 64),
      right('Not proved', 60),
      right('Proved not\nto conform', 64),
    ],
    rows: known.map(({ row, gauge }) => {
      const { characteristic } = row
      const { conformity, expanded } = gauge
      const count = (proof: keyof NonNullable<typeof conformity>) =>
        conformity === null ? '–' : formatCount(conformity[proof])
      return [
        characteristic.designator,
        `${nameOf(row)}, ${unitText(writtenUnit(characteristic))}`,
        `${gauge.name ?? 'not named'}, ${gauge.study === null ? 'certificate' : `study ${gauge.study}`}`,
        expanded === null ? '–' : uncertaintyText(expanded),
        count('conforming'),
        count('inside the uncertainty'),
        count('not conforming'),
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
          text: `A value proves that its part conforms where it lies inside the limits by at least the expanded uncertainty of measuring, and that it does not where it lies outside by more (ISO 14253-1); in between it proves neither. Counted are the values of the span, each by the gauge that its row names; where a table of gauges stands below, it says which. Wrongly accepted and rejected are parts judged by the limits as they stand, if parts and errors of measuring scatter normally (JCGM 106). An index of the parts alone is that as measured, divided by the square root of 1 less the gauge’s share of the variance that it takes; verdicts stay with the one as measured. Intervals of indices as measured are at the confidence asked of the characteristic. This supports, and does not replace, the judgement of whoever is responsible; the drawing and the customer’s requirements govern.`,
        },
        table,
        ...judgedBy(known),
        ...partsAlone(known),
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

/** What the gauge takes, and indices with its spread taken out, a row each, where a study tells that spread. */
function partsAlone(
  known: readonly { readonly row: ReportCharacteristic; readonly gauge: ReportGauge }[],
): Block[] {
  const named = ({ characteristic }: ReportCharacteristic, more: readonly string[]) => [
    characteristic.designator,
    nameOf({ characteristic }),
    ...more,
  ]
  const taken = known.flatMap(({ row, gauge: { judgement, misjudged } }) =>
    judgement === null
      ? []
      : [
          named(row, [
            `${percentText(judgement.share.value)} of the ${judgement.of}`,
            judgement.sure ? judgement.verdict : 'not settled',
            misjudged === null ? '–' : millionText(misjudged.wronglyAccepted),
            misjudged === null ? '–' : millionText(misjudged.wronglyRejected),
          ]),
        ],
  )
  const indices = known.flatMap(({ row, gauge }) =>
    INDICES.flatMap(([key, name]) => {
      const index = gauge[key] ?? null
      if (index === null) return []
      const { plain, corrected } = index
      return [
        named(row, [
          name,
          indexText(plain),
          intervalText(plain),
          corrected === null ? 'none is left' : formatNumber(corrected.value, 2),
          corrected === null ? '' : `${limitText(corrected.lower)} to ${limitText(corrected.upper)}`,
        ]),
      ]
    }),
  )
  const first = [left('No.', 34), left('Characteristic', 150)]
  const tables: Table[] = [
    {
      kind: 'table',
      caption: 'What the gauge takes, where a study tells it',
      columns: [
        ...first,
        left('The gauge takes', 120),
        left('Judged', 90),
        right('Wrongly accepted\nper million', 80),
        right('Wrongly rejected\nper million', 80),
      ],
      rows: taken,
    },
    {
      kind: 'table',
      caption: 'Indices of the parts alone, the gauge’s spread taken out',
      columns: [
        ...first,
        left('Index', 40),
        right('As measured', 70),
        right('Interval', 80),
        right('Of the parts alone', 80),
        right('Interval', 100),
      ],
      rows: indices,
    },
  ]
  return tables.filter(({ rows }) => rows.length > 0)
}

/** To two significant digits: JCGM 100, 7.2.6. */
function uncertaintyText(expanded: number): string {
  return formatNumber(expanded, Math.max(0, 1 - Math.floor(Math.log10(expanded))))
}

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
          : `${uncertaintyText(by.expanded)} ${unitText(writtenUnit(row.characteristic))}`,
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
