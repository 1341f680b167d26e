import { ALL_TESTS, type TestId } from '../../src/charts/tests.ts'

/** What the address of the page on tests asks for; null where it leaves it to the chart. */
export interface TestState {
  readonly tests: readonly TestId[] | null
  /** In the unit of the characteristic. */
  readonly shift: number | null
  readonly parts: number | null
}

export function testState(query: Readonly<Record<string, string>>): TestState {
  const shift = Number(query.shift)
  const parts = Number(query.parts)
  const named = query.tests?.split(',')
  return {
    tests: named === undefined ? null : ALL_TESTS.map(({ id }) => id).filter((id) => named.includes(id)),
    shift: shift > 0 && Number.isFinite(shift) ? shift : null,
    parts: Number.isInteger(parts) && parts >= 1 && parts <= 1000 ? parts : null,
  }
}
