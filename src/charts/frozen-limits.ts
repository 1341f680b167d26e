import { ArgumentError } from '../errors.ts'
import type { BetweenTest, ChartForm, ChartModel } from './model.ts'

/** Who decided something, when and why. */
export interface Provenance {
  readonly who: string
  /** Seconds since 1970-01-01 UTC. */
  readonly at: number
  readonly reason: string
  /** Version of the study that it came with. */
  readonly version: number
}

/** Limits as they were computed at one time, kept. Lengths in the characteristic's unit. */
export interface FrozenLimits extends Provenance {
  /** How location was charted: it is charted so for as long as the limits stay frozen. */
  readonly form: ChartForm
  readonly centre: number
  /** Standard deviation inside subgroups; null where every subgroup had one value. */
  readonly sigmaWithin: number | null
  readonly dfWithin: number
  /** Standard deviation of the subgroups' means, from the steps between neighbours; null for a single subgroup. */
  readonly sigmaMeans: number | null
  readonly sigmaBetween: number | null
  readonly betweenTest: BetweenTest | null
  /** The first and last subgroup that they were computed from, by build id. */
  readonly firstBuild: number
  readonly lastBuild: number
  /** How many subgroups those were, without the ones left out, and how many values in them. */
  readonly builds: number
  readonly values: number
}

/**
 * The limits of one phase of a chart, to be kept as they are.
 *
 * @param phase position in `chart.phases`
 * @throws ArgumentError where the chart has no such phase
 */
export function freezeLimits(chart: ChartModel, phase: number, provenance: Provenance): FrozenLimits {
  const limits = chart.phases[phase]
  if (limits === undefined) throw new ArgumentError('phase', 'there are no limits to freeze')
  const { centre, sigmaWithin, dfWithin, sigmaMeans, sigmaBetween, betweenTest } = limits
  return {
    ...provenance,
    form: chart.form,
    centre,
    sigmaWithin,
    dfWithin,
    sigmaMeans,
    sigmaBetween,
    betweenTest,
    firstBuild: chart.subgroups[limits.baselineFrom]?.buildId as number,
    lastBuild: chart.subgroups[limits.baselineTo]?.buildId as number,
    builds: limits.baselineCount,
    values: limits.baselineValues,
  }
}
