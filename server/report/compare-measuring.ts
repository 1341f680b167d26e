import { writtenUnit } from '../../src/domain/characteristic.ts'
import {
  characteristicTitle,
  countOf,
  formatCount,
  formatNumber,
  meanDecimals,
} from '../../src/words/format.ts'
import { unitText } from '../../src/words/unit.ts'
import type { ReportChange, ReportCharacteristic, ReportGauge } from '../contract/report.ts'
import { percentText } from './report-text.ts'
import { same } from './same.ts'

/** What one characteristic's report says of measuring, and is otherwise now. */
export interface MeasuringChanges {
  readonly changes: readonly ReportChange[]
  /** What became known since, in a sentence or two. */
  readonly since: readonly string[]
}

/**
 * Compares what is said of measuring a characteristic. A report that said nothing of it, since nothing was known, is not
 * contradicted by a study that came later; what an older report does not state is not compared.
 */
export function measuringChanges(then: ReportCharacteristic, now: ReportCharacteristic): MeasuringChanges {
  const [was, is] = [then.gauge, now.gauge]
  const where = characteristicTitle(then.characteristic)
  if (was === undefined) {
    return {
      changes: [],
      since:
        is === undefined
          ? []
          : [
              `${where}: since it was made, ${sourceText(is)} was added; a report made now would say what measuring adds.`,
            ],
    }
  }
  const others = new Map(is === undefined ? [] : statements(now, is).map((each) => [each.what, each]))
  const changes = statements(then, was).flatMap(({ what, value, text }): ReportChange[] => {
    const other = others.get(what)
    return other !== undefined && same(value, other.value)
      ? []
      : [{ where, what: `measuring: ${what}`, was: text, is: other?.text ?? null }]
  })
  const isStudied = is !== undefined && is.study !== null && is.study !== was.study
  return { changes, since: isStudied ? [`${where}: since it was made, ${sourceText(is)} was added.`] : [] }
}

function sourceText({ study, name }: ReportGauge): string {
  const gauge = name ?? 'a gauge not named'
  return study === null ? `what the register says of ${gauge}` : `gauge study ${study} of ${gauge}`
}

interface Statement {
  readonly what: string
  /** Compared but for the rounding of sums. */
  readonly value: unknown
  /** For the reader; null where there is none. */
  readonly text: string | null
}

const INDICES = [
  ['cp', 'Cp'],
  ['cpk', 'Cpk'],
  ['pp', 'Pp'],
  ['ppk', 'Ppk'],
] as const

/** Everything that a report states of measuring a characteristic. */
function statements({ characteristic }: ReportCharacteristic, gauge: ReportGauge): Statement[] {
  const { name, study, expanded, judgement, misjudged, conformity, judgedBy } = gauge
  const length = (size: number) =>
    `${formatNumber(size, meanDecimals(characteristic))} ${unitText(writtenUnit(characteristic))}`
  return [
    { what: 'gauge', value: name, text: name },
    { what: 'study', value: study, text: study === null ? null : `study ${study}` },
    { what: 'uncertainty, k = 2', value: expanded, text: expanded === null ? null : length(expanded) },
    {
      what: 'gauge takes',
      value: judgement,
      text: judgement && `${percentText(judgement.share.value)} of the ${judgement.of}`,
    },
    ...INDICES.flatMap(([key, title]): Statement[] => {
      const index = gauge[key]
      if (index === undefined) return []
      const corrected = index?.corrected ?? null
      return [
        {
          what: `${title} of the parts alone`,
          value: corrected,
          text: corrected && formatNumber(corrected.value, 2),
        },
      ]
    }),
    {
      what: 'misjudged',
      value: misjudged,
      text:
        misjudged &&
        `${formatNumber(1e6 * misjudged.wronglyAccepted, 1)} wrongly accepted, ${formatNumber(1e6 * misjudged.wronglyRejected, 1)} wrongly rejected, per million`,
    },
    {
      what: 'what values prove',
      value: conformity,
      text:
        conformity &&
        `${formatCount(conformity.conforming)} to conform, ${formatCount(conformity['not conforming'])} not to, ${formatCount(conformity['inside the uncertainty'])} neither`,
    },
    ...(judgedBy === undefined
      ? []
      : [
          {
            what: 'judged by',
            value: judgedBy,
            text:
              judgedBy
                .map(
                  ({ gauge: named, expanded: by, values }) =>
                    `${named ?? 'not named'}: ${countOf(values, 'value')}, ${by === null ? 'not known' : length(by)}`,
                )
                .join('; ') || null,
          },
        ]),
  ]
}
