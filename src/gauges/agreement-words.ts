import type { Characteristic } from '../domain/characteristic.ts'
import { countOf, formatNumber, formatSigned, meanDecimals } from '../words/format.ts'
import type { Phrase, Sentence } from '../words/sentence.ts'
import { unitText } from '../words/unit.ts'
import type { MethodAgreement, NoAgreement } from './method-agreement.ts'

const LEVEL = 0.05

/** How far two gauges agree, and what that rests on. */
export function agreementWords(
  characteristic: Characteristic,
  [first, second]: readonly [string, string],
  agreement: MethodAgreement | NoAgreement,
  content: number,
  confidence: number,
): { readonly headline: Sentence; readonly grounds: Sentence } {
  const decimals = meanDecimals(characteristic)
  const unit = unitText(characteristic.unit)
  if ('reason' in agreement) {
    return {
      headline: [
        { text: `How far ${first} and ${second} agree ` },
        { text: 'cannot be said', role: 'strong' },
        {
          text:
            agreement.reason === 'too few pairs'
              ? ': fewer than two parts were measured by both.'
              : ': all differences are equal, so that their scatter lies below the step of the gauges.',
        },
      ],
      grounds: [],
    }
  }
  const { n, difference, lowerLimit, upperLimit, trend } = agreement
  const seen = difference.p < LEVEL
  const of = Math.round(content * 100)
  const grounds: Phrase[] = [
    {
      text: `${countOf(n, 'part').replace(/^./, (c) => c.toUpperCase())}; where a gauge measured one more than once, its mean counts. Mean difference ${formatSigned(difference.value, decimals)} ${unit} (${formatSigned(difference.lower, decimals)} to ${formatSigned(difference.upper, decimals)}). `,
    },
    {
      text: `The limits themselves lie, with ${Math.round(confidence * 100)} % confidence each, from ${formatSigned(lowerLimit.lower, decimals)} to ${formatSigned(lowerLimit.upper, decimals)} and from ${formatSigned(upperLimit.lower, decimals)} to ${formatSigned(upperLimit.upper, decimals)}. `,
    },
  ]
  if (trend !== null) {
    grounds.push({
      text:
        trend.p < LEVEL
          ? `The difference changes with size (p = ${formatNumber(trend.p, 3)}), so that one pair of limits does not hold for all sizes.`
          : `It does not change with size as far as can be seen (p = ${formatNumber(trend.p, 2)}).`,
    })
  }
  const side = difference.value < 0 ? 'lower' : 'higher'
  return {
    headline: [
      { text: `${first} reads ` },
      seen
        ? { text: `${side} than ${second}`, role: difference.value < 0 ? 'under' : 'over' }
        : { text: `as ${second} does, on average`, role: 'strong' },
      {
        text: `: on ${of} % of parts they differ by ${formatSigned(lowerLimit.value, decimals)} to ${formatSigned(upperLimit.value, decimals)} ${unit}.`,
      },
    ],
    grounds,
  }
}
