import type { Characteristic } from '../domain/characteristic.ts'
import { countOf, formatNumber, formatSigned, meanDecimals } from '../words/format.ts'
import type { Phrase, Sentence } from '../words/sentence.ts'
import { unitText } from '../words/unit.ts'
import type { BiasStudy } from './bias.ts'

/** A probability from which on a bias counts as seen. */
const LEVEL = 0.05

/** Whether a gauge reads true at parts of known value, and what that rests on. */
export function biasWords(
  characteristic: Characteristic,
  study: BiasStudy,
): { readonly headline: Sentence; readonly grounds: Sentence } {
  const { parts, overall, linearity, reason, confidence } = study
  const decimals = meanDecimals(characteristic)
  const unit = unitText(characteristic.unit)
  const n = parts.reduce((sum, part) => sum + part.n, 0)
  const grounds: Phrase[] = [
    { text: `${countOf(parts.length, 'known part').replace(/^./, (c) => c.toUpperCase())}, ${n} readings. ` },
  ]
  const slope = linearity?.slope
  if (slope !== undefined) {
    const per = formatSigned(slope.value, decimals + 1)
    grounds.push({
      text:
        slope.p < LEVEL
          ? `The bias changes with size, by ${per} ${unit} per ${unit} (${formatSigned(slope.lower, decimals + 1)} to ${formatSigned(slope.upper, decimals + 1)}): one correction does not do for all sizes. `
          : `No change of the bias with size is seen (slope ${per}, p = ${formatNumber(slope.p, 2)}). `,
    })
  } else if (reason !== null) grounds.push({ text: `${REASONS[reason]} ` })
  grounds.push({ text: `Intervals by Student’s t, ${Math.round(confidence * 100)} % confidence.` })
  const [only] = parts
  if (overall === null) {
    const bias = only?.bias ?? 0
    return {
      headline: [
        { text: `The gauge reads ${formatSigned(bias, decimals)} ${unit} off; ` },
        { text: 'how sure that is cannot be said', role: 'strong' },
        { text: ' from readings that never differ, or a single one.' },
      ],
      grounds,
    }
  }
  const interval = `${formatSigned(overall.lower, decimals)} to ${formatSigned(overall.upper, decimals)}`
  const tilted = slope !== undefined && slope.p < LEVEL
  if (overall.p >= LEVEL && !tilted) {
    return {
      headline: [
        { text: 'No bias is seen', role: 'strong' },
        { text: `: ${formatSigned(overall.value, decimals)} ${unit} (${interval}) from the known values.` },
      ],
      grounds,
    }
  }
  return {
    headline: [
      { text: 'The gauge reads ' },
      {
        text: tilted ? 'otherwise at different sizes' : overall.value < 0 ? 'low' : 'high',
        role: tilted ? 'mark' : overall.value < 0 ? 'under' : 'over',
      },
      { text: `: on average by ${formatSigned(overall.value, decimals)} ${unit} (${interval}).` },
    ],
    grounds,
  }
}

const REASONS = {
  'one reference part': 'With one known part nothing is said of other sizes.',
  'too few readings': 'From fewer than three readings no line over sizes can be told.',
  'constant readings': 'All readings lie on one line: the scatter is below the step of the gauge.',
} as const
