import { testBetween } from '../charts/between.ts'
import { type SigmaEstimate, sigmaFromMovingRange, sigmaWithin } from '../charts/estimates.ts'
import type { ChartModel } from '../charts/model.ts'
import type { StepEstimator, Study } from '../charts/study.ts'
import { type BuildLabel, type MergedSubgroup, subgroupsByBuild } from '../charts/subgroups.ts'
import type { Moments } from '../description/moments.ts'
import { normalLower, normalUpper } from '../distributions/normal.ts'
import type { Cell } from '../domain/cell.ts'
import type { Characteristic } from '../domain/characteristic.ts'
import { nearerIndexInterval } from './confidence.ts'
import { type EffectiveSample, effectiveSample } from './effective.ts'
import type { IndexEstimate } from './index-estimate.ts'
import type { Limits } from './indices.ts'
import { indexPair, performance } from './performance.ts'
import type { CapabilitySummary, Verdict } from './summary.ts'

/** What is asked of a characteristic, and how sure the answer has to be. */
export interface Requirement {
  /** The least Ppk. */
  readonly index: number
  /** As a fraction. */
  readonly confidence: number
  /** How the characteristic is charted: its estimators, and the level at which builds are said to differ. */
  readonly study: Study
}

/**
 * What one characteristic can hold over the builds given.
 *
 * Cp and Cpk take the sigma of a process without shifts: that inside builds, or, where builds differ, that of
 * single parts over builds next to each other (between and within). Pp and Ppk take the overall sigma.
 *
 * @param cells the characteristic's cells of one stage
 * @param builds the span, in order
 * @param chart its chart over at least those builds, for the verdict on stability
 * @returns null where the builds hold no value of the characteristic
 */
export function summariseCapability(
  characteristic: Characteristic,
  cells: readonly Cell[],
  builds: readonly BuildLabel[],
  chart: ChartModel,
  requirement: Requirement,
): CapabilitySummary | null {
  const subgroups = subgroupsByBuild(cells, builds)
  if (subgroups.length === 0) return null
  const moments = subgroups.map((subgroup) => subgroup.moments)
  const total = moments.reduce((n, group) => n + group.n, 0)
  const sample = effectiveSample(moments)
  const within = sigmaWithin(moments, requirement.study.within)
  const differs = testBetween(moments, requirement.study.betweenLevel)?.differs ?? false
  const inControl = sigmaInControl(moments, within, differs, requirement.study.step)
  const limits = { lower: characteristic.lower, upper: characteristic.upper }
  const { confidence } = requirement
  const happened = sample && performance(limits, sample, confidence)
  const capable =
    sample && inControl && indexPair(limits, sample.mean, inControl, sample.nEffective, confidence)
  const ppk = happened?.nearer ?? null
  const first = firstSignal(chart, subgroups)

  return {
    characteristic,
    n: total,
    builds: subgroups.length,
    mean: sample?.mean ?? (moments[0] as Moments).mean,
    min: Math.min(...moments.map((group) => group.min)),
    max: Math.max(...moments.map((group) => group.max)),
    sigmaWithin: within?.sigma ?? null,
    sigmaBetween: betweenPart(inControl, within, differs),
    sigmaOverall: sample?.sigma ?? null,
    cp: capable?.spread ?? null,
    cpk: capable?.nearer ?? null,
    pp: happened?.spread ?? null,
    ppk,
    expectedOutside: sample && expectedOutside(limits, sample),
    stable: first === null,
    movedAt: first,
    verdict: ppk && verdictOf(ppk, requirement.index),
    partsToSettle: ppk && sample && partsToSettle(ppk, sample, requirement),
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

/** Fraction beyond the limits that exist, by the normal distribution with the overall sigma. */
function expectedOutside(limits: Limits, sample: EffectiveSample): number | null {
  if (limits.lower === null && limits.upper === null) return null
  const below = limits.lower === null ? 0 : normalLower((limits.lower - sample.mean) / sample.sigma)
  const above = limits.upper === null ? 0 : normalUpper((limits.upper - sample.mean) / sample.sigma)
  return below + above
}

function firstSignal(chart: ChartModel, subgroups: readonly MergedSubgroup[]): string | null {
  const inSpan = new Set(subgroups.map((subgroup) => subgroup.buildId))
  for (const signal of chart.signals) {
    if (signal.panel === 'moving-range') continue
    for (const i of signal.points) {
      const point = chart.subgroups[i]
      if (point !== undefined && inSpan.has(point.buildId)) return point.label
    }
  }
  return null
}

/** Judged on the interval, never on the estimate alone. */
export function verdictOf(index: IndexEstimate, required: number): Verdict {
  if (index.lower >= required) return 'holds'
  return index.upper < required ? 'does not' : 'not yet sure'
}

/** Beyond this multiple of the parts at hand, "measure more" is no advice. */
const FARTHEST = 1000

/**
 * Parts in all at which the interval would no longer hold the requirement, should the estimate stay and builds
 * go on as they are.
 */
function partsToSettle(
  index: IndexEstimate,
  sample: EffectiveSample,
  requirement: Requirement,
): number | null {
  if (verdictOf(index, requirement.index) !== 'not yet sure') return null
  const settled = (factor: number) => {
    const { nEffective, df } = sample
    const then = nearerIndexInterval(index.value, nEffective * factor, df * factor, requirement.confidence)
    return verdictOf(then, requirement.index) !== 'not yet sure'
  }
  if (!settled(FARTHEST)) return null
  let low = 1
  let high = FARTHEST
  while (high / low > 1.005) {
    const middle = Math.sqrt(low * high)
    if (settled(middle)) high = middle
    else low = middle
  }
  return Math.ceil(sample.n * high)
}
