import type { IndexEstimate } from '../../../src/capability/index-estimate.ts'
import { requirementText } from '../../../src/figures/requirement.ts'
import { notJudgedWords } from '../../../src/words/capability-detail-words.ts'
import { roundUp } from '../../../src/words/capability-words.ts'
import { choiceSentence, sampleSentence } from '../../../src/words/choice-words.ts'
import {
  characteristicTitle,
  countOf,
  formatCount,
  formatNumber,
  meanDecimals,
  valueDecimals,
} from '../../../src/words/format.ts'
import { widthText } from '../../../src/words/own-tolerance-words.ts'
import { unitText } from '../../../src/words/unit.ts'
import type { ReportCharacteristic, ReportContent } from '../../contract/report.ts'
import type { Plate, Section } from '../document.ts'
import { chartFigure, valueFigures } from '../figures.tsx'
import { type PaperSize, roomBelow } from '../plate-size.ts'
import {
  figureText,
  indexText,
  intervalText,
  percentText,
  shareRangeText,
  shareText,
  valueText,
} from '../report-text.ts'
import { hasLimits } from './characteristic-text.ts'

/** Half a page of each: the verdict, the figures beside their pictures, and the chart. */
export function eachCharacteristic({ characteristics, sources }: ReportContent, paper: PaperSize): Section[] {
  if (characteristics.length === 0) return []
  const plates = characteristics.map((row): Plate => {
    const { characteristic, chartGrounds } = row
    const { axis, unit } = characteristic
    const words = {
      heading: `${characteristicTitle(characteristic)}${axis === null ? '' : `, ${axis}`}: ${requirementText(characteristic)} ${unitText(unit)}`,
      lead: `${verdictWords(row)} ${chartSentence(row)}`,
      notes: `${chartGrounds} ${distributionWords(row)}`.trim(),
      numbers: numbersOf(row),
    }
    return {
      kind: 'plate',
      ...words,
      beside: valueFigures(row),
      below: chartFigure(row, sources, roomBelow(words, paper)),
    }
  })
  return [{ heading: 'Each characteristic', startsPage: true, blocks: plates }]
}

function verdictWords({ characteristic, summary }: ReportCharacteristic): string {
  const { verdict, toSettle, judged, requirement } = summary
  if (judged === null) return notJudgedWords({ ...summary, characteristic }, 'It')
  const said =
    verdict === 'not yet sure' ? 'not yet sure of' : verdict === 'holds' ? 'holds' : 'does not hold'
  const asked = requirement.class === null ? '' : `, asked of the class ${requirement.class}`
  const more =
    toSettle === null
      ? ''
      : ` About ${formatCount(roundUp(toSettle.parts - summary.n))} more parts, in ${countOf(roundUp(toSettle.builds - summary.builds), 'more build')}, would settle it.`
  return `${requirement.index} ${indexText(judged)}, ${intervalText(judged)} with ${percentText(requirement.confidence)} confidence: ${said} ${formatNumber(requirement.value, 2)}${asked}.${more}`
}

/** What its chart says, without its name, which stands above. */
function chartSentence({ characteristic, chartHeadline }: ReportCharacteristic): string {
  const about = characteristicTitle(characteristic)
  return chartHeadline.startsWith(about) ? `It${chartHeadline.slice(about.length)}` : chartHeadline
}

function numbersOf(row: ReportCharacteristic): Plate['numbers'] {
  const { characteristic, summary, outside } = row
  const decimals = meanDecimals(characteristic)
  const ofValues = valueDecimals(characteristic)
  const figure = (value: number | null, more = 0) => figureText(value, decimals + more)
  const index = (name: string, of: IndexEstimate | null): [string, string][] => [
    [name, of === null ? 'none' : `${indexText(of)}, ${intervalText(of)}`],
  ]
  const { total } = summary.outside
  const used = summary.toleranceUsed
  return [
    ['values', `${formatCount(summary.n)} in ${countOf(summary.builds, 'build')}`],
    ...(summary.ownTolerance === null || characteristic.ownLimits === undefined
      ? []
      : [['own limits', widthText(summary.ownTolerance, characteristic.ownLimits)] as const]),
    ['mean', figure(summary.mean)],
    ['least, greatest', `${valueText(summary.min, ofValues)}, ${valueText(summary.max, ofValues)}`],
    ['sigma within', figure(summary.sigmaWithin, 1)],
    ['sigma between', figure(summary.sigmaBetween, 1)],
    ['sigma overall', figure(summary.sigmaOverall, 1)],
    ...index('Cp', summary.cp),
    ...index('Cpk', summary.cpk),
    ...index('Pp', summary.pp),
    ...index('Ppk', summary.ppk),
    ...(total === null
      ? []
      : [
          [
            'expected outside',
            `${shareText(total.value)}, ${shareRangeText(total.lower, total.upper)}`,
          ] as const,
        ]),
    ...(hasLimits(row) ? [['counted outside', countedText(outside)] as const] : []),
    ...(used === null
      ? []
      : [
          [
            'tolerance used',
            `${formatNumber(100 * used.value, 0)} %, ${formatNumber(100 * used.lower, 0)} to ${formatNumber(100 * used.upper, 0)}`,
          ] as const,
        ]),
  ]
}

function countedText({ below, above }: ReportCharacteristic['outside']): string {
  return below + above === 0 ? 'none' : `${formatCount(below)} below, ${formatCount(above)} above`
}

function distributionWords({ summary }: ReportCharacteristic): string {
  const { shape } = summary
  if (shape === null) return ''
  const { chosenOn, byQuantiles } = shape
  const sentence = choiceSentence(shape.fitted.family, shape.reason)
  const sample = sampleSentence(chosenOn, summary.n)
  const method =
    byQuantiles === null
      ? ''
      : byQuantiles.interval === null
        ? ' Too few builds for an interval, and so no index is stated.'
        : ` Pp and Ppk are by its quantiles X0.135 %, X50 % and X99.865 %, ${[byQuantiles.low, byQuantiles.middle, byQuantiles.high].map((each) => figureText(each, 4)).join(', ')}; intervals by ${byQuantiles.interval}.`
  return `${sentence}${sample === null ? '' : ` ${sample}`}${method}`
}
