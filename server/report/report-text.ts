import type { IndexEstimate } from '../../src/capability/index-estimate.ts'
import { formatNumber } from '../../src/words/format.ts'

/** Figures and moments as a report writes them. */

/** A figure with so many decimals, or with three digits where those would hide it. */
export function figureText(value: number | null, decimals: number): string {
  if (value === null) return '–'
  if (value !== 0 && Math.abs(value) < 10 ** (1 - decimals)) return value.toPrecision(3).replace('-', '−')
  return formatNumber(value, decimals)
}

export function indexText(index: IndexEstimate | null): string {
  return index === null ? '–' : formatNumber(index.value, 2)
}

/** "1.82 to 1.98" */
export function intervalText(index: IndexEstimate | null): string {
  return index === null ? '' : `${formatNumber(index.lower, 2)} to ${formatNumber(index.upper, 2)}`
}

/** A share of parts: per cent, or parts per million where it is small. */
export function shareText(share: number | null): string {
  if (share === null) return '–'
  if (share === 0) return 'none'
  if (share >= 0.001) return `${(share * 100).toPrecision(2)} %`
  const ppm = share * 1e6
  return ppm < 0.01 ? 'less than 0.01 ppm' : `${Number(ppm.toPrecision(2))} ppm`
}

/** "1.1 to 280 ppm", with the unit once where both have the same. */
export function shareRangeText(lower: number, upper: number): string {
  const [from, to] = [shareText(lower), shareText(upper)]
  const unit = to.slice(to.lastIndexOf(' '))
  return `${from.endsWith(unit) ? from.slice(0, -unit.length) : from} to ${to}`
}

/** The day of a moment, in UTC; a dash where it is not recorded. */
export function dayText(at: number | null): string {
  return at === null ? '–' : new Date(at * 1000).toISOString().slice(0, 10)
}

/** A moment to the minute, in UTC. */
export function momentText(at: number): string {
  return `${new Date(at * 1000).toISOString().slice(0, 16).replace('T', ' ')} UTC`
}

/** A confidence such as 0.95 as "95 %". */
export function percentText(fraction: number): string {
  return `${Number((fraction * 100).toFixed(1))} %`
}
