import type { Characteristic } from '../../src/domain/characteristic.ts'
import { requirementText } from '../../src/figures/requirement.ts'
import { unitText } from './quantities.ts'

/** The requirement in a list that gives no units: with its unit only where that is the part's own tolerance. */
export function requirementInList(characteristic: Characteristic): string {
  return characteristic.ownLimits === undefined
    ? requirementText(characteristic)
    : requirementWords(characteristic)
}

/** The requirement with its unit: "12.4 ±0.08 mm". */
export function requirementWords(characteristic: Characteristic): string {
  const { nominal, lower, upper, unit } = characteristic
  const text = requirementText(characteristic)
  return nominal === null && lower === null && upper === null ? text : `${text} ${unitText(unit)}`
}
