import type { Characteristic } from '../../src/domain/characteristic.ts'
import { requirementText } from '../../src/figures/requirement.ts'
import { unitText } from './quantities.ts'

/** Number and name: "9 step"; the number alone where a file gave no other name. */
export function characteristicTitle({ designator, name }: Characteristic): string {
  return name === designator || name === '' ? designator : `${designator} ${name}`
}

/** The requirement with its unit: "12.4 ±0.08 mm". */
export function requirementWords(characteristic: Characteristic): string {
  const { nominal, lower, upper, unit } = characteristic
  const text = requirementText(characteristic)
  return nominal === null && lower === null && upper === null ? text : `${text} ${unitText(unit)}`
}
