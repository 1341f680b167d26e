/** Addresses of the pages about gauges, and of what they read and send. Names of gauges may hold any character. */

export const GAUGES_PAGE = '/gauges'
export const PLAN_PAGE = '/gauges/plan'

export function gaugePage(name: string): string {
  return `/gauges/of/${encodeURIComponent(name)}`
}

export function gaugeStudyPage(id: number): string {
  return `/gauges/studies/${id}`
}

export function gaugePlanPage(number: number): string {
  return `/gauges/plans/${number}`
}

export const GAUGES_ADDRESS = '/api/gauges'
export const GAUGE_CHOICES_ADDRESS = '/api/gauges/choices'
export const GAUGE_PLANS_ADDRESS = '/api/gauges/plans'

export function gaugeAddress(name: string): string {
  return `/api/gauges/register/${encodeURIComponent(name)}`
}

export function gaugeStudyAddress(
  id: number,
  asked: { readonly method: string; readonly interaction: string; readonly layout: string },
): string {
  return `/api/gauges/studies/${id}?${new URLSearchParams(asked)}`
}

export function gaugePlanAddress(number: number): string {
  return `${GAUGE_PLANS_ADDRESS}/${number}`
}

export function gaugeSheetAddress(number: number): string {
  return `${gaugePlanAddress(number)}/sheet`
}
