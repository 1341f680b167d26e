import type { Characteristic } from '../domain/characteristic.ts'
import { drawingDecimals, formatNumber } from '../words/format.ts'

/** The requirement as a drawing states it: "42 ±0.12", "6 +0.05 0", "max 0.08"; without unit. */
export function requirementText(characteristic: Characteristic): string {
  const { nominal, lower, upper } = characteristic
  const decimals = drawingDecimals(characteristic)
  const number = (value: number) => trimmed(formatNumber(value, decimals))
  if (lower === null && upper === null) return nominal === null ? 'no limits' : number(nominal)
  if (nominal !== null && lower !== null && upper !== null) {
    const above = formatNumber(upper - nominal, decimals)
    const below = formatNumber(nominal - lower, decimals)
    if (above === below) return `${number(nominal)} ±${above}`
    return `${number(nominal)} ${deviation(upper - nominal, decimals)} ${deviation(lower - nominal, decimals)}`
  }
  if (lower === null) return `max ${number(upper as number)}`
  if (upper === null) return `min ${number(lower)}`
  return `${number(lower)} to ${number(upper)}`
}

function deviation(value: number, decimals: number): string {
  const text = formatNumber(value, decimals)
  if (Number(text.replace('−', '-')) === 0) return '0'
  return value > 0 ? `+${text}` : text
}

function trimmed(text: string): string {
  return text.includes('.') ? text.replace(/\.?0+$/, '') : text
}
