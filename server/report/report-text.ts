import type { IndexEstimate } from '../../src/capability/index-estimate.ts'
import { formatNumber } from '../../src/words/format.ts'

/** Figures and moments as a report writes them. */

/** Digits that a figure has room for, and in a narrow column of a table. */
const MOST_DIGITS = 9
export const NARROW = 7
/** Fewer digits than this say little of a figure. */
const FEWEST_DIGITS = 3

/**
 * A figure with so many decimals, or fewer where it has more digits than there is room for; with three digits where
 * the decimals would hide them, and with a power of ten ("9.97e−7") where they begin far behind the point.
 */
export function figureText(value: number | null, decimals: number, most = MOST_DIGITS): string {
  if (value === null) return '–'
  const size = Math.abs(value)
  const before = size < 1 ? 1 : Math.floor(Math.log10(size)) + 1
  const room = Math.min(decimals, Math.max(0, most - before))
  const isShort = room < decimals
  if (value === 0 || size >= 10 ** ((isShort ? FEWEST_DIGITS : 1) - room)) return formatNumber(value, room)
  const plain = value.toPrecision(FEWEST_DIGITS)
  // A minus sign and a point take little room.
  const text = isShort
    ? value.toExponential(FEWEST_DIGITS)
    : plain.replace(/[-.]/g, '').length > most
      ? value.toExponential(FEWEST_DIGITS - 1)
      : plain
  return text.replaceAll('-', '−')
}

/** A single value as it was measured, with zeros up to so many decimals; as `figureText` where it has more digits. */
export function valueText(value: number, decimals: number, most = MOST_DIGITS): string {
  const written = String(value)
  const own = written.includes('e') ? most : (written.split('.')[1]?.length ?? 0)
  const shown = Math.max(decimals, own)
  return value.toFixed(shown).replace(/[-.]/g, '').length <= most
    ? formatNumber(value, shown)
    : figureText(value, decimals, most)
}

export function indexText(index: IndexEstimate | null): string {
  return index === null ? '–' : formatNumber(index.value, 2)
}

/** "1.82 to 1.98" */
export function intervalText(index: IndexEstimate | null): string {
  return index === null ? '' : `${formatNumber(index.lower, 2)} to ${formatNumber(index.upper, 2)}`
}

/** A share of parts: per cent, or parts per million where it is small. Never as if none, or all, were sure. */
export function shareText(share: number | null): string {
  if (share === null) return '–'
  const percent = 100 * share
  if (percent >= 99.95) return '> 99.9 %'
  if (percent >= 0.1) {
    return `${formatNumber(percent, percent >= 99 ? 1 : percent >= 9.95 ? 0 : percent >= 0.995 ? 1 : 2)} %`
  }
  const ppm = share * 1e6
  return ppm < 0.01 ? '< 0.01 ppm' : `${Number(ppm.toPrecision(2))} ppm`
}

/** "1.1 to 280 ppm", with the unit once where both have the same, and both once where they are shown alike. */
export function shareRangeText(lower: number, upper: number): string {
  const [from, to] = [shareText(lower), shareText(upper)]
  if (from === to) return to
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

/** Numbers of entries of the record: "entry 7", "entries 3 to 9, 12". */
export function entriesText(sequences: readonly number[]): string {
  const spans: { from: number; to: number }[] = []
  for (const sequence of [...sequences].sort((a, b) => a - b)) {
    const last = spans.at(-1)
    if (last !== undefined && sequence === last.to + 1) last.to = sequence
    else spans.push({ from: sequence, to: sequence })
  }
  const text = spans.map(({ from, to }) => (from === to ? String(from) : `${from} to ${to}`)).join(', ')
  return `${sequences.length === 1 ? 'entry' : 'entries'} ${text}`
}
