import { studentUpperQuantile } from '../distributions/student.ts'
import { type Component, componentAt } from './component.ts'
import type { Estimate } from './event.ts'
import { gainsByStart, placeOfMaximum } from './scan.ts'
import { fitSeries, type Series, without } from './series.ts'
import type { Residuals } from './sums.ts'

export const CONFIDENCE = 0.95

/**
 * −2 ln(1 − √0.95): allowance of the likelihood ratio for the place of a jump; sources with `changePoint`. The kink of a
 * ramp has a smaller one in theory, the 95 % point of chi-square (P. I. Feder, On asymptotic distribution theory in
 * segmented regression problems, Annals of Statistics 3 (1975), 49–83), but drifts as they are found here, weak at
 * first and in a fraction of the builds, reach 95 % only with the larger (simulated in the tests).
 */
export const ALLOWANCE = -2 * Math.log(1 - Math.sqrt(CONFIDENCE))
/** 95 % point of chi-square with one degree of freedom. */
export const ONE_PARAMETER = studentUpperQuantile((1 - CONFIDENCE) / 2, 1e9) ** 2

/** Every position at which the component may have begun, with 95 % confidence, its end and all other changes kept. */
export function plausibleStarts(series: Series, component: Component): number[] {
  const fit = fitSeries(series)
  const gains = gainsByStart(without(series, fit, component), component)
  const best = gains[component.from - series.start] as number
  const most = fit.squares * Math.expm1(ALLOWANCE / fit.df)
  const found: number[] = []
  for (let i = 0; i < gains.length; i++) {
    if (best - (gains[i] as number) <= most) found.push(series.start + i)
  }
  if (!found.includes(component.from)) found.push(component.from)
  return found.sort((a, b) => a - b)
}

/** Whether the values alone tell a jump from a ramp, with 95 % confidence. */
export function tellsForm(series: Series, component: Component): boolean {
  const fit = fitSeries(series)
  const residuals = without(series, fit, component)
  const other = { ...component, form: component.form === 'flat' ? ('ramp' as const) : ('flat' as const) }
  const gains = gainsByStart(residuals, other)
  const at = placeOfMaximum(gains)
  if (at === -1) return true
  const own = gainsByStart(residuals, component)[component.from - series.start] as number
  return own - (gains[at] as number) > fit.squares * Math.expm1(ONE_PARAMETER / fit.df)
}

/** Whether one more change explains the series so much better than another that this is outside its confidence set. */
export function explainsMore(series: Series, change: Component, other: Component): boolean {
  const fit = fitSeries(series, [...series.components, change])
  const rest = fitSeries(series, [...series.components, other])
  return rest.squares - fit.squares > fit.squares * Math.expm1(ALLOWANCE / fit.df)
}

/** Places of the confidence set that the interval of the size is taken over, ends and estimate among them. */
const MOST_PLACES = 7

/**
 * Size of the component with its 95 % interval, the doubt about its place taken in: the hull, over places of the
 * confidence set, of sizes not significantly worse than the best (as in `changePoint`). Of a ramp, the size at its
 * last build.
 */
export function sizeOf(series: Series, component: Component, plausible: readonly number[]): Estimate {
  const fit = fitSeries(series)
  const k = series.components.indexOf(component)
  const scale = component.form === 'flat' ? 1 : component.to - component.from + 1
  const value = (fit.coefficients[k] as number) * scale
  const variance = fit.squares / fit.df
  const t = studentUpperQuantile((1 - CONFIDENCE) / 2, fit.df)
  const half = t * Math.sqrt(variance * (fit.variances[k] as number)) * scale
  let lower = value - half
  let upper = value + half
  const residuals = without(series, fit, component)
  const least = fit.squares
  for (const from of thinned(plausible, component.from)) {
    const moved = simpleFit(residuals, { ...component, from })
    if (moved === null) continue
    const room = t * t * variance - (moved.squares - least)
    if (room <= 0) continue
    const length = component.form === 'flat' ? 1 : component.to - from + 1
    const reach = Math.sqrt(room / moved.information) * length
    lower = Math.min(lower, moved.size * length - reach)
    upper = Math.max(upper, moved.size * length + reach)
  }
  return { value, lower, upper }
}

function thinned(places: readonly number[], keep: number): number[] {
  const others = places.filter((place) => place !== keep)
  if (others.length <= MOST_PLACES) return others
  const step = (others.length - 1) / (MOST_PLACES - 1)
  return Array.from({ length: MOST_PLACES }, (_, i) => others[Math.round(i * step)] as number)
}

/** Level and one component fitted to residuals. */
function simpleFit({ start, residuals, weights }: Residuals, component: Component) {
  let w = 0
  let sx = 0
  let sxx = 0
  let sr = 0
  let srr = 0
  let sxr = 0
  for (let i = 0; i < residuals.length; i++) {
    const weight = weights[i] as number
    const x = componentAt(component, start + i)
    const r = residuals[i] as number
    w += weight
    sx += weight * x
    sxx += weight * x * x
    sr += weight * r
    srr += weight * r * r
    sxr += weight * x * r
  }
  const information = sxx - (sx * sx) / w
  if (!(information > 1e-9 * sxx)) return null
  const product = sxr - (sx * sr) / w
  return {
    size: product / information,
    information,
    squares: srr - (sr * sr) / w - (product * product) / information,
  }
}
