import type { BenchRow } from './rows.ts'

/** Ratios by the name of their row, as in baseline.json. */
export type Baseline = Readonly<Record<string, number>>

/**
 * How much greater than in the baseline a ratio may be before it counts as worse: half as great again. Both sides of a
 * ratio are measured in the same run, yet on a machine with other work they come out a quarter apart between runs.
 */
export const MARGIN = 0.5

export interface Worse {
  readonly name: string
  readonly was: number
  /** Null where the baseline has the row and the run has not measured it. */
  readonly is: number | null
}

/**
 * Rows whose ratio is greater than that of the baseline by more than the margin, and rows of the baseline that were not
 * measured although their bench ran. Times alone are never compared, nor rows that the baseline does not have.
 *
 * @param margin as a fraction of the ratio of the baseline
 * @throws RangeError where a ratio of the baseline is not a positive number
 */
export function worsened(baseline: Baseline, rows: readonly BenchRow[], margin: number = MARGIN): Worse[] {
  const measured = new Map(rows.map(({ name, ratio }) => [name, ratio]))
  return Object.entries(baseline).flatMap(([name, was]) => {
    if (!(was > 0 && Number.isFinite(was))) throw new RangeError(`the baseline of "${name}" is ${was}`)
    const is = measured.get(name) ?? null
    // What is not a number is no improvement.
    return is !== null && is <= was * (1 + margin) ? [] : [{ name, was, is }]
  })
}

/** The baseline that these rows make: the ratios of all that are steady. */
export function baselineOf(rows: readonly BenchRow[]): Baseline {
  return Object.fromEntries(
    rows.flatMap(({ name, ratio, isSteady }) =>
      ratio === null || !isSteady ? [] : [[name, Number(ratio.toPrecision(3))]],
    ),
  )
}
