import type { AppliedRequirement } from '../../../src/capability/requirement.ts'
import { formatNumber } from '../../../src/words/format.ts'
import type { ReportCharacteristic } from '../../contract/report.ts'
import { percentText } from '../report-text.ts'

/** "critical: Ppk 1.67" */
export function askedText({ class: name, index, value, confidence }: AppliedRequirement): string {
  return `${name === null ? '' : `${name}: `}${index} ${formatNumber(value, 2)} at ${percentText(confidence)}`
}

/** Name and axis as a table has them beside the designator. */
export function nameOf({ characteristic }: Pick<ReportCharacteristic, 'characteristic'>): string {
  const { designator, name, axis } = characteristic
  const own = name === designator || name === '' ? '–' : name
  return axis === null ? own : `${own}, ${axis}`
}
