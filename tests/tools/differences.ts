/**
 * Where an answer differs from what was expected of it: text, switches and absences in full, numbers by more than the
 * tolerance. What the expected side does not speak of is not compared; lists are compared whole.
 *
 * @param tolerance relative to the expected number; absolute where that is 0
 * @returns one line for each difference, with its path
 */
export function differences(expected: unknown, actual: unknown, tolerance: number, path = ''): string[] {
  if (typeof expected === 'number') {
    const size = expected === 0 ? 1 : Math.abs(expected)
    const near = typeof actual === 'number' && Math.abs(actual - expected) <= tolerance * size
    return near ? [] : [`${path}: ${String(actual)} in place of ${expected}`]
  }
  if (Array.isArray(expected)) {
    if (!Array.isArray(actual) || actual.length !== expected.length) {
      return [
        `${path}: ${Array.isArray(actual) ? actual.length : String(actual)} in place of ${expected.length}`,
      ]
    }
    return expected.flatMap((each, i) => differences(each, actual[i], tolerance, `${path}[${i}]`))
  }
  if (typeof expected === 'object' && expected !== null) {
    if (typeof actual !== 'object' || actual === null) return [`${path}: ${String(actual)}`]
    return Object.entries(expected).flatMap(([key, each]) =>
      differences(each, (actual as Record<string, unknown>)[key], tolerance, `${path}.${key}`),
    )
  }
  return Object.is(expected, actual) ? [] : [`${path}: ${String(actual)} in place of ${String(expected)}`]
}
