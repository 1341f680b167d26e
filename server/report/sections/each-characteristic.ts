import { requirementText } from '../../../src/figures/requirement.ts'
import { choiceSentence } from '../../../src/words/choice-words.ts'
import { characteristicTitle, countOf, formatCount, formatNumber } from '../../../src/words/format.ts'
import { unitText } from '../../../src/words/unit.ts'
import type { ReportCharacteristic, ReportContent } from '../../contract/report.ts'
import type { Section } from '../document.ts'
import { chartFigure, valueFigures } from '../figures.tsx'
import { figureText, indexText, intervalText, percentText, shareText } from '../report-text.ts'

export function eachCharacteristic(content: ReportContent): Section[] {
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
