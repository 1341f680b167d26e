import { testBetween } from '../charts/between.ts'
import { type SigmaEstimate, sigmaFromMovingRange, sigmaWithin } from '../charts/estimates.ts'
import type { ChartModel } from '../charts/model.ts'
import type { StepEstimator, Study } from '../charts/study.ts'
import type { Moments } from '../description/moments.ts'
import type { Characteristic } from '../domain/characteristic.ts'
import { nearerIndexInterval } from './confidence.ts'
import { type EffectiveSample, effectiveSample } from './effective.ts'
import type { IndexEstimate } from './index-estimate.ts'
import { normalOutside } from './normal-outside.ts'
import { indexPair, performance } from './performance.ts'
import { bindingLimits } from './quantile-method.ts'
import type { AppliedRequirement } from './requirement.ts'
import type { Shape } from './shape.ts'
import type { CapabilitySummary, OwnTolerance, Verdict } from './summary.ts'
import { toleranceUsed } from './tolerance-used.ts'

/** What a characteristic is judged on. */
export interface CapabilityBasis {
  readonly characteristic: Characteristic
  /** Values of each build of the span, in order; those left out are not among them. */
  readonly groups: readonly BuildGroup[]
  /** Its chart over at least those builds, for the verdict on stability. */
  readonly chart: ChartModel
  /** How it is charted: its estimators, and the level at which builds are said to differ. */
  readonly study: Study
  readonly requirement: AppliedRequirement
  /** The distribution of its values; null where it is not known, and mean and sigma have to do. */
  readonly shape: Shape | null
  /** How wide the parts' own tolerances were; null where all parts are judged by the limits of the drawing. */
  readonly ownTolerance: OwnTolerance | null
}

/** Values of one build. */
interface BuildGroup {
  readonly buildId: number
  readonly moments: Moments
}

/**
 * What one characteristic can hold over the builds given.
 *
 * Cp and Cpk take the sigma of a process without shifts: that inside builds, or, where builds differ, that of
 * single parts over builds next to each other (between and within). Pp and Ppk take the overall sigma. Where the values
 * are not normal, Pp and Ppk take the quantiles of their distribution; Cp and Cpk are the same then as long as the
 * process is in control, and do not exist otherwise (ISO 22514-2, where one distribution stands for all times).
 *
 * @param basis everything in the unit of the characteristic; `groups` from `subgroupsByBuild` without what is left out
 * @returns null where the builds hold no value of the characteristic
 * @throws ArgumentError where its limits are crossed
 */
export function summariseCapability(basis: CapabilityBasis): CapabilitySummary | null {
  const { characteristic, groups, chart, study, requirement, shape, ownTolerance } = basis
  const moments = groups.map((group) => group.moments)
  if (moments.length === 0) return null
  const total = moments.reduce((n, group) => n + group.n, 0)
  const sample = effectiveSample(moments)
  const within = sigmaWithin(moments, study.within)
  const differs = testBetween(moments, study.betweenLevel)?.differs ?? false
  const inControl = sigmaInControl(moments, within, differs, study.step)
  const limits = bindingLimits(characteristic, characteristic.kind)
  const { confidence } = requirement
  const first = firstSignal(chart, groups)
  const byQuantiles = shape?.byQuantiles ?? null
  const happened = byQuantiles?.indices ?? (sample && performance(limits, sample, confidence))
  const capable =
    byQuantiles === null
      ? sample && inControl && indexPair(limits, sample.mean, inControl, sample.nEffective, confidence)
      : first === null
        ? byQuantiles.indices
        : null
  const judged = (requirement.index === 'Ppk' ? happened : capable)?.nearer ?? null

  return {
    characteristic,
    n: total,
    builds: groups.length,
    mean: sample?.mean ?? (moments[0] as Moments).mean,
    min: Math.min(...moments.map((group) => group.min)),
    max: Math.max(...moments.map((group) => group.max)),
    sigmaWithin: within?.sigma ?? null,
    sigmaBetween: betweenPart(inControl, within, differs),
    sigmaInControl: inControl?.sigma ?? null,
    sigmaOverall: sample?.sigma ?? null,
    cp: capable?.spread ?? null,
    cpk: capable?.nearer ?? null,
    pp: happened?.spread ?? null,
    ppk: happened?.nearer ?? null,
    shape,
    outside:
      byQuantiles?.outside ??
      (sample === null
        ? { below: null, above: null, total: null }
        : normalOutside(limits, sample, confidence)),
    toleranceUsed: happened && toleranceUsed(happened),
    ownTolerance,
    stable: first === null,
    movedAt: first,
    requirement,
    judged,
    verdict: judged && verdictOf(judged, requirement.value),
    toSettle: judged && sample && toSettle(judged, sample, basis),
  }
}

/**
 * Sigma of single parts as long as nothing moves. Where builds differ, the scatter of neighbouring build means
 * stands for what one build adds to the next, and the share of it that is only the parts' own scatter is not
 * counted twice; degrees of freedom by Satterthwaite's approximation.
 */
function sigmaInControl(
  moments: readonly Moments[],
  within: SigmaEstimate | null,
  differs: boolean,
  step: StepEstimator,
): SigmaEstimate | null {
  const ofMeans = sigmaFromMovingRange(
    moments.map((group) => group.mean),
    step,
  )
  if (within === null) return ofMeans
  if (!differs || ofMeans === null) return within
  const share = moments.reduce((sum, group) => sum + 1 / group.n, 0) / moments.length
  const between = ofMeans.sigma ** 2
  const inside = within.sigma ** 2 * (1 - share)
  const variance = between + inside
  // Neighbours may differ by less than their parts explain, as where builds moved once: then nothing is left between them,
  // and sigma is never less than that inside builds.
  if (variance <= within.sigma ** 2) return within
  return {
    sigma: Math.sqrt(variance),
    df: variance ** 2 / (between ** 2 / ofMeans.df + inside ** 2 / within.df),
  }
}

function betweenPart(
  inControl: SigmaEstimate | null,
  within: SigmaEstimate | null,
  differs: boolean,
): number | null {
  if (inControl === null || within === null) return null
  return differs ? Math.sqrt(Math.max(0, inControl.sigma ** 2 - within.sigma ** 2)) : 0
}

function firstSignal(chart: ChartModel, groups: readonly BuildGroup[]): string | null {
  const inSpan = new Set(groups.map((group) => group.buildId))
  for (const signal of chart.signals) {
    if (signal.panel === 'moving-range') continue
    for (const i of signal.points) {
      const point = chart.subgroups[i]
      if (point !== undefined && inSpan.has(point.buildId)) return point.label
    }
  }
  return null
}

/**
 * What can be said of an index against a requirement: judged on the interval, never on the estimate alone.
 *
 * @param required the least index asked for
 * @returns `not yet sure` where the interval holds it
 */
export function verdictOf(index: IndexEstimate, required: number): Verdict {
  if (index.lower >= required) return 'holds'
  return index.upper < required ? 'does not' : 'not yet sure'
}

/** Beyond this multiple of the parts at hand, "measure more" is no advice. */
const FARTHEST = 1000

/**
 * Parts and builds in all at which the interval would no longer hold the requirement, should the estimate stay and
 * builds go on as they are, as many parts in each. Intervals by quantiles are taken to narrow as 1 / √n.
 */
function toSettle(
  index: IndexEstimate,
  sample: EffectiveSample,
  { requirement, shape, groups }: CapabilityBasis,
): CapabilitySummary['toSettle'] {
  if (verdictOf(index, requirement.value) !== 'not yet sure') return null
  const { nEffective, df } = sample
  const after = (factor: number): IndexEstimate => {
    if (shape === null || shape.byQuantiles === null) {
      return nearerIndexInterval(index.value, nEffective * factor, df * factor, requirement.confidence)
    }
    const narrower = Math.sqrt(factor)
    return {
      ...index,
      lower: index.value - (index.value - index.lower) / narrower,
      upper: index.value + (index.upper - index.value) / narrower,
    }
  }
  const settled = (factor: number) => verdictOf(after(factor), requirement.value) !== 'not yet sure'
  if (!settled(FARTHEST)) return null
  let low = 1
  let high = FARTHEST
  while (high / low > 1.005) {
    const middle = Math.sqrt(low * high)
    if (settled(middle)) high = middle
    else low = middle
  }
  return { parts: Math.ceil(sample.n * high), builds: Math.ceil(groups.length * high) }
}
