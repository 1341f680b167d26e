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
  const lower = new Float64Array(sigma.length)
  const upper = new Float64Array(sigma.length)
  for (let i = 0; i < sigma.length; i++) {
    const [middle, reach] = [centre[i] as number, 3 * (sigma[i] as number)]
    const line = middle - reach
    lower[i] = id === 'location' || line > 0 ? line : Number.NaN
    upper[i] = middle + reach
  }
  return {
    id,
    values: orNull(values),
    centre: orNull(centre),
    lower: orNull(lower),
    upper: orNull(upper),
    sigma: orNull(sigma),
  }
}

function orNull(column: Float64Array): (number | null)[] {
  const list = new Array<number | null>(column.length)
  for (let i = 0; i < column.length; i++) {
    const value = column[i] as number
    list[i] = Number.isNaN(value) ? null : value
  }
  return list
}
