import { BASELINE_SUBGROUPS } from '../charts/study.ts'
import { fitFamily } from './fit-family.ts'
import type { IndexEstimate } from './index-estimate.ts'
import { bindingLimits } from './quantile-method.ts'
import { type Shape, shapeFigures } from './shape.ts'
import { type CapabilityBasis, summariseCapability } from './summarise.ts'

/** One window of builds, and the index over it. */
export interface CoursePoint {
  /** Places of its first and last build among the groups of the basis, both inclusive. */
  readonly from: number
  readonly to: number
  /** Values in it. */
  readonly n: number
  /** Of them, those that its distribution was fitted to; null where mean and sigma of all of them do. */
  readonly fittedTo: number | null
  /** Null where the builds of the window give none. */
  readonly index: IndexEstimate | null
}

/** An index followed over time. */
export interface IndexCourse {
  /** Builds in a window. */
  readonly window: number
  /** Builds from one window to the next; where this is less than `window`, neighbours share builds. */
  readonly step: number
  /** Oldest first; the last ends with the last build. */
  readonly points: readonly CoursePoint[]
}

/** Single values of one stage, with the build of each. */
export interface LabelledValues {
  readonly value: ArrayLike<number>
  /** Identity of each value's build. */
  readonly build: ArrayLike<number>
}

/** Windows at most: for indices of mean and sigma, by profile likelihood, and by bootstrap, which takes a second each. */
const MOST_WINDOWS = { normal: 60, profile: 24, bootstrap: 6 } as const

/**
 * The index that is asked for over a running window of builds, by the computation that gives the index of them all: so
 * that a window that holds every build has the index of the summary. The family of the distribution is that of all
 * builds, fitted anew to each window.
 *
 * The window holds as many builds as the limits of a chart are computed from: fewer tell little of how builds differ,
 * and more hide when it changed. Windows that overlap are not independent of each other.
 *
 * @param valuesOf the values of some builds, or a sample of them; only asked for where the distribution is not normal
 * @returns null where there are not more builds than a window holds
 */
export function indexCourse(
  basis: CapabilityBasis,
  valuesOf: (builds: ReadonlySet<number>) => LabelledValues,
  window: number = BASELINE_SUBGROUPS,
): IndexCourse | null {
  const { groups } = basis
  const spare = groups.length - window
  if (spare < 1) return null
  const step = Math.ceil((spare + 1) / MOST_WINDOWS[effortOf(basis.shape)])
  const points: CoursePoint[] = []
  for (let from = spare % step; from <= spare; from += step) {
    const own = groups.slice(from, from + window)
    const shape = shapeOver(basis, valuesOf, own)
    const summary = summariseCapability({ ...basis, groups: own, shape })
    points.push({
      from,
      to: from + window - 1,
      n: summary?.n ?? 0,
      fittedTo: (shape?.byQuantiles ?? null) === null ? null : (shape?.chosenOn ?? null),
      index: summary?.judged ?? null,
    })
  }
  return { window, step, points }
}

function effortOf(shape: Shape | null): keyof typeof MOST_WINDOWS {
  const interval = shape?.byQuantiles?.interval ?? null
  return interval === null ? 'normal' : interval === 'bootstrap' ? 'bootstrap' : 'profile'
}

/** The distribution of all builds, fitted to those of a window; null where mean and sigma do, or it does not fit. */
function shapeOver(
  { characteristic, requirement, shape }: CapabilityBasis,
  valuesOf: (builds: ReadonlySet<number>) => LabelledValues,
  groups: CapabilityBasis['groups'],
): Shape | null {
  if (shape === null || shape.byQuantiles === null) return shape
  const { value, build } = valuesOf(new Set(groups.map(({ buildId }) => buildId)))
  const fitted = fitFamily(shape.fitted.family, value)?.distribution ?? null
  if (fitted === null) return null
  const limits = bindingLimits(characteristic, characteristic.kind)
  const byQuantiles = shapeFigures(limits, fitted, value, build, requirement.confidence)
  return { fitted, reason: shape.reason, chosenOn: value.length, byQuantiles }
}
