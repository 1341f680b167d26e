import type { Panel, PanelId } from './model.ts'

/** One panel, its points side by side as in `Panel`; NaN where a point has none. Limits follow from centre and sigma. */
export interface PanelColumns {
  readonly id: PanelId
  readonly values: Float64Array
  readonly centre: Float64Array
  /** Standard error of the plotted statistic. */
  readonly sigma: Float64Array
}

export function emptyPanel(id: PanelId, length: number): PanelColumns {
  const nothing = () => new Float64Array(length).fill(Number.NaN)
  return { id, values: nothing(), centre: nothing(), sigma: nothing() }
}

/** Sets a point with its centre and standard error. Without spread in the baseline (sigma 0) no limits exist. */
export function setPoint(
  panel: PanelColumns,
  i: number,
  value: number,
  centre: number | null,
  sigma: number | null,
): void {
  panel.values[i] = value
  if (centre === null) return
  panel.centre[i] = centre
  if (sigma !== null && sigma !== 0) panel.sigma[i] = sigma
}

/** A panel whose points can be judged, as columns or as part of a chart model. */
export type JudgedPanel = PanelColumns | Panel

/** Deviation of one point of a panel from its centre, in standard errors; null without value or limits. */
export function deviation({ values, centre, sigma }: JudgedPanel, i: number): number | null {
  const [value, middle, unit] = [values[i] ?? Number.NaN, centre[i] ?? Number.NaN, sigma[i] ?? Number.NaN]
  const distance = (value - middle) / unit
  return Number.isNaN(distance) ? null : distance
}

/**
 * The panel with its three-sigma limits. Spreads cannot be negative: their lower limit is absent where three sigmas reach
 * down to zero.
 */
export function panelOfColumns({ id, values, centre, sigma }: PanelColumns): Panel {
  const limit = (side: 1 | -1) =>
    Array.from(sigma, (unit, i) => orNull((centre[i] as number) + side * 3 * unit))
  const lower = limit(-1)
  return {
    id,
    values: Array.from(values, orNull),
    centre: Array.from(centre, orNull),
    lower: id === 'location' ? lower : lower.map((line) => (line !== null && line > 0 ? line : null)),
    upper: limit(1),
    sigma: Array.from(sigma, orNull),
  }
}

function orNull(value: number): number | null {
  return Number.isNaN(value) ? null : value
}
