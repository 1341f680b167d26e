import type { OwnTolerance } from '../capability/summary.ts'
import type { Characteristic, StatedLimits } from '../domain/characteristic.ts'
import type { Phrase } from './sentence.ts'
import { unitText } from './unit.ts'

/**
 * That figures of the characteristic are in units of each part's own tolerance, and what that means; nothing where they
 * are in its unit.
 *
 * @param width how wide the parts' own tolerances were, where that is known
 */
export function ownToleranceWords(
  { ownLimits }: Characteristic,
  width: OwnTolerance | null = null,
): Phrase[] {
  if (ownLimits === undefined) return []
  const stated = statedText(ownLimits)
  const drawing = stated === null ? '' : ` The drawing states ${stated}.`
  const seen =
    width === null
      ? ''
      : ` Here the parts’ own ${ownLimits.sides === 'both' ? 'tolerances were' : 'limits were'} ${widthText(width, ownLimits)}.`
  return [
    {
      text: `Values are multiples of the part’s own tolerance: ${MEANING[ownLimits.sides]}.${drawing}${seen} `,
    },
  ]
}

const MEANING = {
  upper: '1 is a part exactly on the upper limit that it came with',
  lower: '1 is a part exactly on the lower limit that it came with',
  both: '−1 and 1 are the limits that the part came with, 0 the middle between them',
} as const

/** How wide the parts' own tolerances were: "0.25 to 0.45 mm". */
export function widthText({ least, greatest }: OwnTolerance, { unit }: StatedLimits): string {
  const number = (value: number) => String(Number(value.toPrecision(6)))
  return `${least === greatest ? number(least) : `${number(least)} to ${number(greatest)}`} ${unitText(unit)}`
}

/** What the drawing states, with its unit; null where it states no limit. */
function statedText({ lower, upper, unit }: StatedLimits): string | null {
  if (lower === null && upper === null) return null
  const limits =
    lower === null ? `at most ${upper}` : upper === null ? `at least ${lower}` : `${lower} to ${upper}`
  return `${limits} ${unitText(unit)}`
}
