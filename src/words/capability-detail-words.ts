import { type NotJudged, notJudged } from '../capability/not-judged.ts'
import { bindingLimits } from '../capability/quantile-method.ts'
import type { CapabilitySummary } from '../capability/summary.ts'
import type { Characteristic } from '../domain/characteristic.ts'
import { roundUp, wasOutside } from './capability-words.ts'
import {
  capitalise,
  characteristicTitle,
  countOf,
  formatCount,
  formatNumber,
  valueDecimals,
} from './format.ts'
import { ownToleranceWords } from './own-tolerance-words.ts'
import type { Phrase, Sentence } from './sentence.ts'

/** Whether one characteristic holds what is asked of it, how sure that is, and what would settle it. */
export function capabilityDetailWords(
  characteristic: Characteristic,
  summary: CapabilitySummary | null,
  builds: { readonly first: string; readonly last: string } | null,
): { readonly headline: Sentence; readonly grounds: Sentence } {
  if (summary === null || builds === null) {
    return {
      headline: [{ text: `${characteristicTitle(characteristic)} is not measured in these builds.` }],
      grounds:
        builds === null
          ? []
          : [{ text: `Builds ${builds.first} to ${builds.last}. Choose more builds, or another stage.` }],
    }
  }
  return {
    headline: verdictWords(summary),
    grounds: [
      {
        text: `${capitalise(countOf(summary.n, 'value'))} in ${countOf(summary.builds, 'build')}, ${builds.first} to ${builds.last}. `,
      },
      ...outsideWords(summary),
      ...ownToleranceWords(characteristic, summary.ownTolerance),
      ...settleWords(summary),
      ...stabilityWords(summary),
      ...usedWords(summary),
    ],
  }
}

function verdictWords(summary: CapabilitySummary): Sentence {
  const { characteristic, judged, verdict, requirement } = summary
  const title = characteristicTitle(characteristic)
  const asked = `${requirement.index} ${formatNumber(requirement.value, 2)}`
  if (judged === null || verdict === null) return [{ text: notJudgedWords(summary, title) }]
  const figure = `it is ${formatNumber(judged.value, 2)}, ${percentText(judged.confidence)} sure to lie between ${formatNumber(judged.lower, 2)} and ${formatNumber(judged.upper, 2)}.`
  switch (verdict) {
    case 'holds':
      return [{ text: `${title} surely holds ${asked}: ${figure}` }]
    case 'does not':
      return [
        { text: `${title} ` },
        { text: 'surely does not hold', role: 'mark' },
        { text: ` ${asked}: ${figure}` },
      ]
    case 'not yet sure':
      return [{ text: `Whether ${title} holds ${asked} cannot be said yet: ${figure}` }]
  }
}

const NOT_JUDGED: Readonly<Record<NotJudged, string>> = {
  'no limits': 'has no limits to be judged by',
  'no spread': 'cannot be judged: its values tell no spread',
  'no Cpk': 'has no Cpk: its values are not normal, and it was not in control within these builds',
  'too few values': 'cannot be judged: its values are too few for an interval',
}

/** Why the characteristic of that name is not judged; empty where it is. */
export function notJudgedWords(summary: Parameters<typeof notJudged>[0], name: string): string {
  const why = notJudged(summary)
  return why === null ? '' : `${name} ${NOT_JUDGED[why]}.`
}

function outsideWords(summary: CapabilitySummary): Phrase[] {
  if (!wasOutside(summary)) return []
  const decimals = valueDecimals(summary.characteristic)
  if (summary.min === summary.max) {
    return [
      { text: 'All of them lie outside the limits', role: 'mark' },
      { text: `, at ${formatNumber(summary.min, decimals)}. ` },
    ]
  }
  return [
    { text: 'Not all of them lie inside the limits', role: 'mark' },
    {
      text: `: they go from ${formatNumber(summary.min, decimals)} to ${formatNumber(summary.max, decimals)}. `,
    },
  ]
}

function settleWords({ verdict, toSettle, n, builds }: CapabilitySummary): Phrase[] {
  if (verdict !== 'not yet sure') return []
  if (toSettle === null) {
    return [{ text: 'More parts would not settle it soon: it lies too near to what is asked. ' }]
  }
  const parts = formatCount(roundUp(toSettle.parts - n))
  return [
    {
      text: `About ${parts} more parts, in ${countOf(roundUp(toSettle.builds - builds), 'more build')}, would settle it, should it stay as it is. `,
    },
  ]
}

function stabilityWords({ stable, movedAt }: CapabilitySummary): Phrase[] {
  return [
    {
      text: stable
        ? 'No signal stands in these builds. '
        : `It was not in control within these builds, with a first signal at ${movedAt}, so that Ppk states performance, what happened, and not capability, what the process can hold. `,
    },
  ]
}

function usedWords({ toleranceUsed, characteristic }: CapabilitySummary): Phrase[] {
  if (toleranceUsed === null) return []
  const { lower, upper } = bindingLimits(characteristic, characteristic.kind)
  const whole = lower === null || upper === null ? 'the way from their middle to the limit' : 'the tolerance'
  const { value, lower: least, upper: most } = toleranceUsed
  return [
    {
      text: `99.73 % of the parts take up ${wholePercent(value)} of ${whole} (${wholePercent(least)} to ${wholePercent(most)}).`,
    },
  ]
}

function wholePercent(share: number): string {
  return `${formatNumber(100 * share, 0)} %`
}

/** A confidence as it is read: "95 %", "99.9 %". */
function percentText(confidence: number): string {
  return `${Number((100 * confidence).toFixed(1))} %`
}
