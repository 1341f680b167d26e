import type { AppliedRequirement } from '../../src/capability/requirement.ts'
import { requirementText } from '../../src/figures/requirement.ts'
import { choiceSentence } from '../../src/words/choice-words.ts'
import {
  capitalise,
  characteristicTitle,
  countOf,
  formatCount,
  formatNumber,
  meanDecimals,
} from '../../src/words/format.ts'
import { unitText } from '../../src/words/unit.ts'
import type { Report, ReportCharacteristic, ReportContent, ReportGauge } from '../contract/report.ts'
import type { Block, Column, ReportDocument, Section, Table } from './document.ts'
import { chartFigure, valueFigures } from './figures.tsx'
import {
  dayText,
  figureText,
  indexText,
  intervalText,
  momentText,
  percentText,
  shareText,
} from './report-text.ts'

/**
 * A report in the order in which its reader decides: what is claimed and what stands against it, who answers for it,
 * then the figures behind the claim, each characteristic, and where everything came from.
 */
export function layOut(report: Report): ReportDocument {
  const { content, number, madeAt, madeBy, fingerprint } = report
  const { partNumber, settings } = content
  const named = number === null ? 'not on record' : `report ${number}`
  return {
    title: settings.title,
    author: madeBy,
    madeAt,
    running: `${partNumber.number} revision ${partNumber.revision}, ${settings.stage}, ${named}`,
    foot: `fingerprint ${fingerprint.slice(0, 16)}`,
    sections: [
      opening(report),
      verdicts(content),
      figures(content),
      ...measuring(content),
      ...characteristics(content),
      against(content),
      sources(content),
      methods(content),
    ],
  }
}

function opening(report: Report): Section {
  const { content, number, madeAt, madeBy, fingerprint } = report
  const { partNumber, settings, span, cautions } = content
  const facts: [string, string][] = [
    [
      'Part',
      `${partNumber.number} revision ${partNumber.revision}${partNumber.name === null ? '' : `, ${partNumber.name}`}`,
    ],
    ['Measured', settings.stage],
    [
      'Span',
      span === null
        ? 'nothing measured'
        : `builds ${span.first} to ${span.last}: ${formatCount(span.builds)} builds, ${formatCount(span.parts)} parts, ${formatCount(span.values)} values`,
    ],
    ['Required', requirementsInShort(content)],
    ['Report', number === null ? 'not on record: made for a look, without a number' : `number ${number}`],
    ['Made', `${momentText(madeAt)} by ${madeBy}`],
    ['Fingerprint', fingerprint],
  ]
  return {
    heading: null,
    level: 1,
    blocks: [
      { kind: 'lead', text: content.headline },
      { kind: 'paragraph', text: content.grounds },
      { kind: 'paragraph', text: againstInShort(content) },
      { kind: 'facts', facts },
      { kind: 'list', items: cautions },
      { kind: 'signatures', roles: ['Prepared by', 'Checked by', 'Accepted for the customer by'] },
    ],
  }
}

/** What stands against the claim, in two sentences that no setting leaves out. */
function againstInShort({ characteristics, exclusions, notMeasured }: ReportContent): string {
  const open = characteristics.flatMap(({ signals }) => signals.filter(({ finding }) => finding === null))
  const moved = characteristics.filter(({ signals }) => signals.some(({ finding }) => finding === null))
  const wholes = exclusions.filter(({ single }) => single === null).length
  const singles = exclusions.length - wholes
  const sentences = [
    open.length === 0
      ? 'No signal stands open.'
      : `${capitalise(countOf(open.length, 'signal'))} on ${countOf(moved.length, 'characteristic')} ${open.length === 1 ? 'stands' : 'stand'} open: nobody has written what caused ${open.length === 1 ? 'it' : 'them'}.`,
    exclusions.length === 0
      ? 'Nothing is left out of the figures.'
      : `Left out of the figures: ${[...(wholes > 0 ? [countOf(wholes, 'build of a characteristic').replace('characteristics', 'characteristic')] : []), ...(singles > 0 ? [countOf(singles, 'single value')] : [])].join(' and ')}; each with its reason below.`,
    ...(notMeasured.length === 0
      ? []
      : [
          `${capitalise(countOf(notMeasured.length, 'characteristic'))} of the drawing ${notMeasured.length === 1 ? 'was' : 'were'} not measured in these builds.`,
        ]),
  ]
  return sentences.join(' ')
}

/** "critical: Ppk 1.67" */
function askedText({ class: name, index, value, confidence }: AppliedRequirement): string {
  return `${name === null ? '' : `${name}: `}${index} ${formatNumber(value, 2)} at ${percentText(confidence)}`
}

/** What is asked, of all or of each class. */
function requirementsInShort({ characteristics, fallback }: ReportContent): string {
  const asked = new Set(characteristics.map(({ summary }) => askedText(summary.requirement)))
  if (asked.size === 0) asked.add(askedText({ ...fallback, class: null }))
  return [...asked].join('; ')
}

const left = (heading: string, share: number): Column => ({ heading, share, align: 'left' })
const right = (heading: string, share: number): Column => ({ heading, share, align: 'right' })

function verdicts({ characteristics, notMeasured }: ReportContent): Section {
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

function nameOf({ characteristic }: ReportCharacteristic): string {
  const { designator, name, axis } = characteristic
  const own = name === designator || name === '' ? '–' : name
  return axis === null ? own : `${own}, ${axis}`
}

function controlText({ summary, signals }: ReportCharacteristic): string {
  if (summary.stable) return 'in control'
  const open = signals.filter(({ finding }) => finding === null).length
  return `moved at ${summary.movedAt}${open === 0 ? ', answered' : ''}`
}

function figures({ characteristics }: ReportContent): Section {
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
    level: 1,
    blocks: [
      {
        kind: 'paragraph',
        text: `Below each index its interval, at the confidence asked of the characteristic. Cp and Cpk speak of a process in statistical control; for one that moved, read Pp and Ppk.`,
      },
      table,
    ],
  }
}

/** What measuring adds, for characteristics of whose gauge something is known; no section where there is none. */
function measuring({ characteristics }: ReportContent): Section[] {
  const known = characteristics.flatMap((row) => (row.gauge === undefined ? [] : [{ row, gauge: row.gauge }]))
  if (known.length === 0) return []
  const table: Table = {
    kind: 'table',
    caption: null,
    columns: [
      left('No.', 34),
      left('Characteristic, unit', 106),
      left('Gauge', 96),
      right('Uncertainty\nk = 2', 62),
      right('Gauge takes', 84),
      left('Index', 34),
      right('As measured', 82),
      right('Of the parts alone', 82),
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
        `${nameOf(row)}\n${unitText(characteristic.unit)}`,
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
      level: 1,
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
          : `${formatNumber(by.expanded, meanDecimals(row.characteristic))} ${unitText(row.characteristic.unit)}`,
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

function characteristics(content: ReportContent): Section[] {
  if (content.characteristics.length === 0) return []
  const chapter: Section = { heading: 'Each characteristic', level: 1, blocks: [] }
  const parts = content.characteristics.map((row): Section => {
    const { characteristic } = row
    const { axis, unit } = characteristic
    const chart = chartFigure(row, content.sources)
    const values = valueFigures(row)
    const words = distributionWords(row)
    return {
      heading: `${characteristicTitle(characteristic)}${axis === null ? '' : `, ${axis}`}: ${requirementText(characteristic)} ${unitText(unit)}`,
      level: 2,
      blocks: [
        {
          kind: 'group',
          blocks: [
            { kind: 'paragraph', text: characteristicWords(row) },
            ...(chart === null ? [] : [{ kind: 'figures' as const, figures: [chart] }]),
          ],
        },
        {
          kind: 'group',
          blocks: [
            ...(values.length === 0 ? [] : [{ kind: 'figures' as const, figures: values }]),
            ...(words === '' ? [] : [{ kind: 'paragraph' as const, text: words }]),
          ],
        },
      ],
    }
  })
  return [chapter, ...parts]
}

function characteristicWords({
  characteristic,
  summary,
  chartHeadline,
  chartGrounds,
}: ReportCharacteristic): string {
  const { ppk, verdict, toSettle } = summary
  const more =
    toSettle === null
      ? ''
      : ` About ${formatCount(toSettle.parts - summary.n)} more parts, in ${countOf(toSettle.builds - summary.builds, 'more build')}, would settle it.`
  const { judged: index, requirement } = summary
  const judged =
    index === null
      ? ppk === null
        ? 'No limits to be judged by.'
        : 'Not in control and not normal, so that it has no Cpk to be judged by.'
      : `${requirement.index} ${indexText(index)}, ${intervalText(index)} with ${percentText(requirement.confidence)} confidence: ${verdict === 'not yet sure' ? 'not yet sure of' : verdict === 'holds' ? 'holds' : 'does not hold'} ${formatNumber(requirement.value, 2)}${requirement.class === null ? '' : `, asked of the class ${requirement.class}`}.${more}`
  const about = characteristicTitle(characteristic)
  const said = chartHeadline.startsWith(about) ? `It${chartHeadline.slice(about.length)}` : chartHeadline
  return `${judged} ${said} ${chartGrounds}`
}

function distributionWords({ outside, summary }: ReportCharacteristic): string {
  const { shape } = summary
  if (shape === null) return ''
  const { chosenOn, byQuantiles } = shape
  const sentence = choiceSentence(shape.fitted.family, shape.reason)
  const { below, above, total } = summary.outside
  const method =
    byQuantiles === null
      ? ''
      : byQuantiles.interval === null
        ? ' Too few builds for an interval, and so no index is stated.'
        : ` Pp and Ppk are by its quantiles X0.135 %, X50 % and X99.865 %, ${[byQuantiles.low, byQuantiles.middle, byQuantiles.high].map((each) => figureText(each, 4)).join(', ')}; intervals by ${byQuantiles.interval}.`
  const sample =
    chosenOn < summary.n
      ? ` Chosen on ${formatCount(chosenOn)} of ${formatCount(summary.n)} values, scattered over all builds.`
      : ''
  const counted = outside.below + outside.above
  const expected = [
    ...(below === null ? [] : [`${shareText(below.value)} below`]),
    ...(above === null ? [] : [`${shareText(above.value)} above`]),
  ]
  const sure =
    total === null
      ? ''
      : ` (in all ${shareText(total.lower)} to ${shareText(total.upper)} with ${percentText(total.confidence)} confidence)`
  const used = summary.toleranceUsed
  const room =
    used === null
      ? ''
      : ` 99.73 % of the parts take up ${formatNumber(100 * used.value, 0)} % of the tolerance (${formatNumber(100 * used.lower, 0)} to ${formatNumber(100 * used.upper, 0)} %).`
  const share =
    expected.length === 0
      ? ''
      : ` Expected outside: ${expected.join(', ')}${sure}. Counted outside: ${counted === 0 ? 'none' : `${formatCount(counted)} (${formatCount(outside.below)} below, ${formatCount(outside.above)} above)`} of ${formatCount(summary.n)}.${room}`
  return `${sentence}${sample}${method}${share}`
}

function against({ characteristics, exclusions, findings }: ReportContent): Section {
  const signals = characteristics.flatMap((row) => row.signals.map((signal) => ({ row, signal })))
  const blocks: Block[] = []
  if (signals.length === 0) blocks.push({ kind: 'paragraph', text: 'No signal in these builds.' })
  else {
    blocks.push({
      kind: 'table',
      caption: 'Signals in these builds',
      columns: [
        left('No.', 40),
        left('Characteristic', 150),
        left('Builds', 120),
        left('Signal', 220),
        left('Answered', 80),
      ],
      rows: signals.map(({ row, signal }) => [
        row.characteristic.designator,
        nameOf(row),
        signal.from === signal.to ? signal.from : `${signal.from} to ${signal.to}`,
        signal.words,
        signal.finding === null ? 'open' : `finding ${signal.finding}`,
      ]),
    })
  }
  if (exclusions.length === 0) blocks.push({ kind: 'paragraph', text: 'Nothing is left out of the figures.' })
  else {
    blocks.push({
      kind: 'table',
      caption: 'Left out of the figures',
      columns: [
        left('No.', 40),
        left('Build', 80),
        left('What', 150),
        left('Reason', 220),
        left('Who, when', 120),
      ],
      rows: exclusions.map(({ designator, build, single, reason, who, at }) => [
        designator,
        build,
        single === null
          ? 'the whole build'
          : `${single.value} of part ${single.serial}${single.replicate === 1 ? '' : `, replicate ${single.replicate}`}`,
        reason,
        `${who}, ${dayText(at)}`,
      ]),
    })
  }
  if (findings.length > 0) {
    blocks.push({
      kind: 'table',
      caption: 'Findings about these builds',
      columns: [
        left('No.', 30),
        left('Builds', 90),
        left('Characteristics', 100),
        left('Cause', 170),
        left('Action', 130),
        left('State', 90),
      ],
      rows: findings.map(
        ({ number, from, to, characteristics: about, cause, action, state, verified, who, at }) => [
          String(number),
          from === to ? from : `${from} to ${to}`,
          about.join(', '),
          cause,
          action === '' ? '–' : action,
          `${state}, shown to work: ${verified}\n${who}, ${dayText(at)}`,
        ],
      ),
    })
  }
  return { heading: 'Signals, and what is left out', level: 1, blocks }
}

function sources({ sources: { builds, imports } }: ReportContent): Section {
  return {
    heading: 'Where the values came from',
    level: 1,
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
          left('Import', 40),
          left('File and its SHA-256', 330),
          left('Who, when', 130),
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

function methods({ methods: used }: ReportContent): Section {
  return {
    heading: 'How it was computed',
    level: 1,
    blocks: [
      {
        kind: 'table',
        caption: null,
        columns: [left('What', 100), left('How', 290), left('Source', 190)],
        rows: used.map(({ what, how, source }) => [what, how, source]),
      },
      {
        kind: 'paragraph',
        text: 'The data of this report are attached to it as report.json. Give the file, or its number, to the program that made it, and it says whether every figure still follows from the values on record, or what has changed since.',
      },
    ],
  }
}
