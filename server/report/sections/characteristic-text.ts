import { bindingLimits } from '../../../src/capability/quantile-method.ts'
import type { AppliedRequirement } from '../../../src/capability/requirement.ts'
import { formatNumber } from '../../../src/words/format.ts'
import type { PackedChart, ReportCharacteristic } from '../../contract/report.ts'
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

/** Whether a value of it can lie outside: limits that bind. */
export function hasLimits({ characteristic }: Pick<ReportCharacteristic, 'characteristic'>): boolean {
  const { lower, upper } = bindingLimits(characteristic, characteristic.kind)
  return lower !== null || upper !== null
}

/** Whether its control limits rest on too few builds for the lack of a signal to say much. */
export function isProvisional({ phases }: PackedChart): boolean {
  return phases.length === 0 || phases.some((phase) => phase.provisional)
}
