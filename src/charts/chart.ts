import { c4 } from '../constants/c4.ts'
import { d2, d3 } from '../constants/range-constants.ts'
import type { Moments } from '../description/moments.ts'
import type { Cell } from '../domain/cell.ts'
import { ArgumentError } from '../errors.ts'
import { runLengthOfAny } from '../run-length/any-run-length.ts'
import { testBetween } from './between.ts'
import { sigmaFromMovingRange, sigmaWithin } from './estimates.ts'
import type { ChartForm, ChartModel, Panel, PanelId, PhaseLimits, Signal, Subgroup } from './model.ts'
import { signalsOfPanel } from './signals.ts'
import type { Phase, Study } from './study.ts'
import { type BuildLabel, type MergedSubgroup, subgroupsByBuild } from './subgroups.ts'
import { ALL_TESTS, type SignalTest } from './tests.ts'

/**
 * The chart model of one characteristic: points, limits, signals. Screen, report and interface all show it.
 *
 * What the study leaves out keeps its place, but limits, steps and tests pass over it: they are those that the chart
 * would have without it.
 *
 * @param study how the characteristic is charted
 * @param cells its cells of the study's stage, in any order
 * @param builds the timeline; builds without cells are passed over
 * @throws ArgumentError where the study has no phase, or a phase begins at a build that is not on the timeline
 */
export function buildChart(study: Study, cells: readonly Cell[], builds: readonly BuildLabel[]): ChartModel {
  return chartSubgroups(study, subgroupsByBuild(cells, builds, study.exclusions), builds)
}

/**
 * As `buildChart`, from subgroups that are merged already.
 *
 * @param subgroups as `subgroupsByBuild` makes them with the study's exclusions
 * @throws ArgumentError as `buildChart`
 */
export function chartSubgroups(
  study: Study,
  subgroups: readonly MergedSubgroup[],
  builds: readonly BuildLabel[],
): ChartModel {
  const spans = phaseSpans(study.phases, subgroups, builds)
  const form = chooseForm(study, subgroups, spans)
  const tests = ALL_TESTS.filter((test) => study.tests.includes(test.id))

  const draft = emptyPanels(subgroups.length, form)
  const phases: PhaseLimits[] = []
  const signals: Signal[] = []
  for (const span of spans) {
    phases.push(fillPhase(draft, form, subgroups, span, study))
    for (const panel of [draft.location, draft.movingRange, draft.spread]) {
      if (panel !== null) signals.push(...testPanel(panel, span.from, span.to, tests))
    }
  }
  signals.sort((a, b) => (a.points[0] as number) - (b.points[0] as number))
  return {
    form,
    spreadStatistic: study.within === 'average-range' ? 'range' : 'standard deviation',
    subgroups: subgroups.map(plainSubgroup),
    phases,
    ...draft,
    signals,
    inControlRunLength: inControlRunLength(tests),
  }
}

/** Without what only the making of the chart needs; written out, since it is done for every point. */
function plainSubgroup({
  buildId,
  label,
  n,
  mean,
  sd,
  min,
  max,
  leftOut,
  leftOutValues,
}: MergedSubgroup): Subgroup {
  return { buildId, label, n, mean, sd, min, max, leftOut, leftOutValues }
}

function inControlRunLength(tests: readonly SignalTest[]): number | null {
  return tests.length === 0 ? null : runLengthOfAny(tests, 0)
}

/** Positions of a phase's subgroups, both inclusive. */
interface Span {
  readonly from: number
  readonly to: number
  /** Positions of its subgroups that are not left out, ascending; never empty. */
  readonly included: readonly number[]
  /** Those of them that its limits come from; never empty. */
  readonly baseline: readonly number[]
  readonly phase: Phase
}

/** Phases with a subgroup to judge; one that holds nothing, or only what is left out, has no limits. */
function phaseSpans(
  phases: readonly Phase[],
  subgroups: readonly MergedSubgroup[],
  builds: readonly BuildLabel[],
): Span[] {
  if (phases.length === 0) throw new ArgumentError('study', 'a study has at least one phase')
  const placeOf = (buildId: number) => {
    const at = builds.findIndex((build) => build.id === buildId)
    return at === -1 ? Number.NaN : at
  }
  const starts = phases
    .map((phase) => {
      if (phase.fromBuild === null) return { phase, from: 0 }
      const at = placeOf(phase.fromBuild)
      if (Number.isNaN(at))
        throw new ArgumentError('study', `a phase begins at build ${phase.fromBuild}, which is not there`)
      const first = subgroups.findIndex((subgroup) => subgroup.position >= at)
      return { phase, from: first === -1 ? subgroups.length : first }
    })
    .sort((a, b) => a.from - b.from)
  const spans: Span[] = []
  for (const [i, { phase, from }] of starts.entries()) {
    const to = (starts[i + 1]?.from ?? subgroups.length) - 1
    const included: number[] = []
    for (let k = from; k <= to; k++) if (!subgroups[k]?.leftOut) included.push(k)
    if (included.length === 0) continue
    const chosen = chosenBaseline(phase, (k) => (subgroups[k] as MergedSubgroup).position, placeOf)
    const inChosen = included.filter(chosen)
    spans.push({
      from,
      to,
      included,
      baseline: inChosen.length > 0 ? inChosen : included.slice(0, phase.baselineCount),
      phase,
    })
  }
  return spans
}

/** Whether a subgroup is one of those that a baseline was chosen from, or that frozen limits came from. */
function chosenBaseline(
  { frozen, baseline }: Phase,
  place: (k: number) => number,
  placeOf: (buildId: number) => number,
): (k: number) => boolean {
  const span = frozen ? { from: frozen.firstBuild, to: frozen.lastBuild } : baseline
  if (!span) return () => false
  const [from, to] = [placeOf(span.from), placeOf(span.to)]
  return (k) => place(k) >= from && place(k) <= to
}

/**
 * One form for the whole chart: that of frozen limits where there are any, since they hold for no other; else
 * three-way as soon as builds differ in the baseline of any phase.
 */
function chooseForm(study: Study, subgroups: readonly MergedSubgroup[], spans: readonly Span[]): ChartForm {
  const frozen = spans.findLast((span) => span.phase.frozen)?.phase.frozen
  if (frozen) return frozen.form
  if (subgroups.every((subgroup) => subgroup.n === 1 || subgroup.leftOut)) return 'individuals'
  const differ = spans.some(
    (span) => testBetween(momentsAt(subgroups, span.baseline), study.betweenLevel)?.differs ?? false,
  )
  return differ ? 'three-way' : 'mean-and-s'
}

function momentsAt(subgroups: readonly MergedSubgroup[], positions: readonly number[]): Moments[] {
  return positions.map((i) => (subgroups[i] as MergedSubgroup).moments)
}

/** A panel under construction. */
type DraftPanel = {
  [K in keyof Panel]: Panel[K] extends readonly (number | null)[] ? (number | null)[] : Panel[K]
}

interface DraftPanels {
  location: DraftPanel
  movingRange: DraftPanel | null
  spread: DraftPanel | null
}

function emptyPanels(length: number, form: ChartForm): DraftPanels {
  const nothing = () => new Array<number | null>(length).fill(null)
  const panel = (id: PanelId): DraftPanel => ({
    id,
    values: nothing(),
    centre: nothing(),
    lower: nothing(),
    upper: nothing(),
    sigma: nothing(),
  })
  return {
    location: panel('location'),
    movingRange: form === 'mean-and-s' ? null : panel('moving-range'),
    spread: form === 'individuals' ? null : panel('spread'),
  }
}

function fillPhase(
  panels: DraftPanels,
  form: ChartForm,
  subgroups: readonly MergedSubgroup[],
  span: Span,
  study: Study,
): PhaseLimits {
  const frozen = span.phase.frozen ?? null
  const limits = frozen ?? computedLimits(form, momentsAt(subgroups, span.baseline), study)
  const { centre, sigmaWithin, dfWithin, sigmaMeans, sigmaBetween, betweenTest } = limits

  for (const i of span.included) {
    const subgroup = subgroups[i] as MergedSubgroup
    const standardError =
      form === 'mean-and-s' ? sigmaWithin && sigmaWithin / Math.sqrt(subgroup.n) : sigmaMeans
    setPoint(panels.location, i, subgroup.mean, centre, standardError)
    if (panels.spread !== null && sigmaWithin !== null) {
      setSpread(panels.spread, i, subgroup, sigmaWithin, study)
    }
  }
  if (panels.movingRange !== null) fillMovingRange(panels.movingRange, subgroups, span.included, sigmaMeans)

  return {
    from: span.from,
    to: span.to,
    baselineFrom: span.baseline[0] as number,
    baselineTo: span.baseline[span.baseline.length - 1] as number,
    baselineCount: limits.builds,
    baselineValues: limits.values,
    reason: span.phase.reason,
    frozen,
    provisional: limits.builds < PROVISIONAL_BELOW,
    centre,
    sigmaWithin,
    dfWithin,
    sigmaMeans,
    sigmaBetween,
    betweenTest,
  }
}

/** What the limits of a phase follow from, computed from its baseline. */
function computedLimits(form: ChartForm, base: readonly Moments[], study: Study) {
  const means = base.map((moments) => moments.mean)
  const within = sigmaWithin(base, study.within)
  const ofMeans = sigmaFromMovingRange(means, study.step)
  return {
    centre: form === 'mean-and-s' ? weightedMean(base) : average(means),
    sigmaWithin: within?.sigma ?? null,
    dfWithin: within?.df ?? 0,
    sigmaMeans: ofMeans?.sigma ?? null,
    sigmaBetween: betweenSigma(base, within?.sigma ?? null, ofMeans?.sigma ?? null),
    betweenTest: testBetween(base, study.betweenLevel),
    builds: base.length,
    values: base.reduce((sum, moments) => sum + moments.n, 0),
  }
}

/** Fewer subgroups than this make limits provisional. */
const PROVISIONAL_BELOW = 25

function setSpread(
  panel: DraftPanel,
  i: number,
  subgroup: MergedSubgroup,
  sigma: number,
  study: Study,
): void {
  const { n, sd, min, max } = subgroup
  if (sd === null) return
  if (study.within === 'average-range') setPoint(panel, i, max - min, d2(n) * sigma, d3(n) * sigma)
  else setPoint(panel, i, sd, c4(n) * sigma, Math.sqrt(1 - c4(n) ** 2) * sigma)
}

function fillMovingRange(
  panel: DraftPanel,
  subgroups: readonly MergedSubgroup[],
  included: readonly number[],
  sigma: number | null,
): void {
  for (let k = 1; k < included.length; k++) {
    const [before, i] = [included[k - 1] as number, included[k] as number]
    const step = Math.abs((subgroups[i] as MergedSubgroup).mean - (subgroups[before] as MergedSubgroup).mean)
    setPoint(panel, i, step, sigma && d2(2) * sigma, sigma && d3(2) * sigma)
  }
}

/**
 * Sets the point, its centre and three-sigma limits. Spreads cannot be negative: their lower limit is absent
 * where three sigmas reach down to zero. Without spread in the baseline (sigma 0) no limits exist.
 */
function setPoint(
  panel: DraftPanel,
  i: number,
  value: number,
  centre: number | null,
  sigma: number | null,
): void {
  panel.values[i] = value
  panel.centre[i] = centre
  if (centre === null || sigma === null || sigma === 0) return
  const lower = centre - 3 * sigma
  panel.sigma[i] = sigma
  panel.upper[i] = centre + 3 * sigma
  panel.lower[i] = panel.id === 'location' || lower > 0 ? lower : null
}

function testPanel(panel: Panel, from: number, to: number, tests: readonly SignalTest[]): Signal[] {
  const positions: number[] = []
  const z: number[] = []
  for (let i = from; i <= to; i++) {
    const value = panel.values[i] ?? null
    const centre = panel.centre[i] ?? null
    const sigma = panel.sigma[i] ?? null
    if (value === null || centre === null || sigma === null) continue
    positions.push(i)
    z.push((value - centre) / sigma)
  }
  return signalsOfPanel(panel.id, positions, z, tests)
}

/**
 * Standard deviation between builds: what the scatter of build means shows beyond that of the parts averaged.
 * 0 where the parts' own scatter explains it all, null where either cannot be told.
 */
function betweenSigma(
  base: readonly { readonly n: number }[],
  within: number | null,
  ofMeans: number | null,
): number | null {
  if (within === null || ofMeans === null) return null
  const share = average(base.map((moments) => 1 / moments.n))
  return Math.sqrt(Math.max(0, ofMeans ** 2 - within ** 2 * share))
}

function weightedMean(base: readonly { readonly n: number; readonly mean: number }[]): number {
  const origin = base[0]?.mean ?? 0
  let sum = 0
  let n = 0
  for (const moments of base) {
    sum += moments.n * (moments.mean - origin)
    n += moments.n
  }
  return origin + sum / n
}

function average(values: readonly number[]): number {
  const origin = values[0] ?? 0
  let sum = 0
  for (const value of values) sum += value - origin
  return origin + sum / values.length
}
