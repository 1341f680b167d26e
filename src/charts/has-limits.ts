import type { ChartModel } from './model.ts'

/** Whether location has limits at all: it has none where nothing scatters, or where there is a single value. */
export function hasLimits({ location: { lower, upper } }: Pick<ChartModel, 'location'>): boolean {
  return upper.some((limit) => limit !== null) || lower.some((limit) => limit !== null)
}
