/** How a gauge stands with its calibration. */
export type DueState = 'overdue' | 'due soon' | 'in time' | 'no date' | 'laid by'

/** Days before its date from which on a gauge is due soon. */
const SOON = 30

/**
 * How a gauge stands on a day.
 *
 * @param due last day on which it may be used, as YYYY-MM-DD; null where none is set
 * @param today as YYYY-MM-DD
 */
export function dueState(due: string | null, today: string, inUse: boolean): DueState {
  if (!inUse) return 'laid by'
  if (due === null) return 'no date'
  if (due < today) return 'overdue'
  return daysBetween(today, due) <= SOON ? 'due soon' : 'in time'
}

/** Days from one day to a later one. */
export function daysBetween(from: string, to: string): number {
  return Math.round((Date.parse(to) - Date.parse(from)) / 86_400_000)
}
