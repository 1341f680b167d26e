/** Figures that differ by less, of their size, differ by the order of summing alone. */
const ROUNDING = 1e-9

/** Whether two pieces of plain data are the same but for the rounding of sums. */
export function same(a: unknown, b: unknown): boolean {
  if (typeof a === 'number' && typeof b === 'number') {
    return a === b || Math.abs(a - b) <= ROUNDING * Math.max(Math.abs(a), Math.abs(b))
  }
  if (Array.isArray(a) && Array.isArray(b)) {
    return a.length === b.length && a.every((each, i) => same(each, b[i]))
  }
  if (a !== null && b !== null && typeof a === 'object' && typeof b === 'object') {
    const names = new Set([...Object.keys(a), ...Object.keys(b)])
    const [left, right] = [a as Record<string, unknown>, b as Record<string, unknown>]
    return [...names].every((name) => same(left[name], right[name]))
  }
  return a === b || (a ?? null) === (b ?? null)
}
