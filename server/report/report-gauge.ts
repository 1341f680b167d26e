import type { Limits } from '../../src/capability/indices.ts'
import type { CapabilitySummary } from '../../src/capability/summary.ts'
import type { Stage } from '../../src/domain/cell.ts'
import { inOwnTolerance, ownTolerance } from '../../src/domain/own-limits.ts'
import { type ConformityCounts, conformity, conformityCounts } from '../../src/gauges/conformity.ts'
import { correctedIndices } from '../../src/gauges/corrected-index.ts'
import { misjudgedByGauge } from '../../src/gauges/misjudged-by-gauge.ts'
import type { JudgedBy, ReportGauge } from '../contract/report.ts'
import type { MeasuredAgainstOwn } from '../contract/views.ts'
import type { GaugeResults } from '../store/gauge-results.ts'
import type { GaugesOfValues, ValuesByBuild } from '../store/single-values.ts'

const NO_INDICES = { cp: null, cpk: null, pp: null, ppk: null }

/** What measuring adds to the figures of a characteristic. Null where nothing is known of any gauge for it. */
export function reportGauge(
  results: GaugeResults,
  summary: CapabilitySummary,
  values: ValuesByBuild,
  measuredBy: GaugesOfValues,
  stage: Stage,
  ownLimits: ReadonlyMap<number, readonly MeasuredAgainstOwn[]>,
): ReportGauge | null {
  const { characteristic, mean, sigmaOverall } = summary
  const result = results.of(characteristic.id)
  if (result === null) return null
  const { gauge, studyId, gaugeSd, judgement, bias, uncertainty } = result
  const limits = { lower: characteristic.lower, upper: characteristic.upper }
  // Limits hold for the part that the furnace made, not for the green one.
  const isJudged = stage !== 'green' && (limits.lower !== null || limits.upper !== null)
  const groups = isJudged ? byUncertainty(results, characteristic.id, values, measuredBy) : []
  const shares =
    gaugeSd === null || sigmaOverall === null || stage === 'green' || summary.ownTolerance !== null
      ? null
      : misjudgedByGauge(limits, { mean, sd: sigmaOverall }, gaugeSd.value, bias)
  return {
    name: gauge,
    study: studyId,
    expanded: uncertainty?.expanded ?? null,
    judgement,
    ...(gaugeSd === null ? NO_INDICES : correctedIndices(summary, gaugeSd)),
    misjudged:
      shares === null
        ? null
        : { wronglyAccepted: shares.wronglyAccepted, wronglyRejected: shares.wronglyRejected },
    conformity: groups.some(({ by }) => by.expanded !== null)
      ? groups.reduce<ConformityCounts>(
          (sum, { by, own, parts }) =>
            by.expanded === null ? sum : added(sum, countsOf(own, parts, limits, by.expanded, ownLimits)),
          NONE_COUNTED,
        )
      : null,
    judgedBy: groups.map(({ by }) => by),
  }
}

interface Group {
  by: JudgedBy
  readonly own: number[]
  /** The part of each value. */
  readonly parts: number[]
}

/**
 * The values by the gauge that their rows name, as receipts judge them. A value that counts for several measurements of
 * a part, by gauges of which none alone gave it, is judged by the greatest of their uncertainties.
 */
function byUncertainty(
  results: GaugeResults,
  characteristicId: number,
  { value, part }: ValuesByBuild,
  { gauges, byPart }: GaugesOfValues,
): Group[] {
  const groups = new Map<string | null, Group>(
    gauges.map((gauge) => {
      const known = results.by(characteristicId, gauge)
      const expanded = known?.uncertainty?.expanded ?? null
      return [gauge, { by: { gauge, from: known?.gauge ?? null, expanded, values: 0 }, own: [], parts: [] }]
    }),
  )
  const all = [...groups.values()]
  const greatest = (some: readonly Group[]) =>
    some.reduce((most, each) => ((each.by.expanded ?? -1) > (most.by.expanded ?? -1) ? each : most))
  for (let i = 0; i < value.length; i++) {
    const measured = byPart?.get(part[i] as number)
    const same = measured?.filter((each) => each.value === value[i])
    const those = (same?.length === 0 ? measured : same)?.map(({ gauge }) => groups.get(gauge) as Group)
    const group = greatest(those ?? all)
    group.own.push(value[i] as number)
    group.parts.push(part[i] as number)
  }
  return all
    .map(({ by, own, parts }) => ({ by: { ...by, values: own.length }, own, parts }))
    .filter(({ own }) => own.length > 0)
    .sort((a, b) => b.own.length - a.own.length)
}

/**
 * What values prove. Where parts have limits of their own, the value as measured is compared with those, as receipts
 * do; one that stands for several measurements with the limits of its unit, the uncertainty by the narrowest of the
 * tolerances.
 */
function countsOf(
  values: readonly number[],
  parts: readonly number[],
  limits: Limits,
  expanded: number,
  ownLimits: ReadonlyMap<number, readonly MeasuredAgainstOwn[]>,
): ConformityCounts {
  if (ownLimits.size === 0) return conformityCounts(values, limits, expanded)
  const counts = { ...NONE_COUNTED }
  values.forEach((value, i) => {
    const measured = ownLimits.get(parts[i] as number) ?? []
    const exact = measured.find((each) => inOwnTolerance(each.measured, each) === value)
    const narrowest = Math.min(...measured.map((each) => ownTolerance(each) ?? Number.POSITIVE_INFINITY))
    const { decision } =
      exact === undefined
        ? conformity(value, limits, expanded / narrowest)
        : conformity(exact.measured, { lower: exact.lower, upper: exact.upper }, expanded)
    counts[decision]++
  })
  return counts
}

const NONE_COUNTED: ConformityCounts = { conforming: 0, 'not conforming': 0, 'inside the uncertainty': 0 }

function added(a: ConformityCounts, b: ConformityCounts): ConformityCounts {
  return {
    conforming: a.conforming + b.conforming,
    'not conforming': a['not conforming'] + b['not conforming'],
    'inside the uncertainty': a['inside the uncertainty'] + b['inside the uncertainty'],
  }
}
