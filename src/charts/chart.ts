import { c4 } from '../constants/c4.ts'
import { d2, d3 } from '../constants/range-constants.ts'
import type { Cell } from '../domain/cell.ts'
import { ArgumentError } from '../errors.ts'
import { runLengthOfAny } from '../run-length/any-run-length.ts'
import { testBetween } from './between.ts'
import { type SigmaEstimate, sigmaFromMovingRange, sigmaWithin } from './estimates.ts'
import type { ChartForm, ChartModel, Panel, PanelId, PhaseLimits, Signal } from './model.ts'
import { signalsOfPanel } from './signals.ts'
import type { Phase, Study } from './study.ts'
import { type BuildLabel, type MergedSubgroup, subgroupsByBuild } from './subgroups.ts'
import { ALL_TESTS, type SignalTest } from './tests.ts'

/**
 * The chart model of one characteristic: points, limits, signals. Screen, report and interface all show it.
 *
 * @param study how the characteristic is charted
 * @param cells its cells of the study's stage, in any order
 * @param builds the timeline; builds without cells are passed over
 * @throws ArgumentError where the study has no phase, or a phase begins at a build that is not on the timeline
 */
export function buildChart(study: Study, cells: readonly Cell[], builds: readonly BuildLabel[]): ChartModel {
  const subgroups = subgroupsByBuild(cells, builds)
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
    subgroups: subgroups.map(({ moments: _moments, ...subgroup }) => subgroup),
    phases,
    ...draft,
    signals,
    inControlRunLength: inControlRunLength(tests),
  }
}

function inControlRunLength(tests: readonly SignalTest[]): number | null {
  return tests.length === 0 ? null : runLengthOfAny(tests, 0)
}

/** Positions of a phase's subgroups, and of those that its limits come from; all inclusive. */
interface Span {
  readonly from: number
  readonly to: number
  readonly baselineTo: number
  readonly phase: Phase
}

function phaseSpans(
  phases: readonly Phase[],
  subgroups: readonly MergedSubgroup[],
  builds: readonly BuildLabel[],
): Span[] {
  if (phases.length === 0) throw new ArgumentError('study', 'a study has at least one phase')
  const place = new Map(builds.map((build, i) => [build.id, i]))
  const starts = phases.map((phase) => {
    if (phase.fromBuild === null) return 0
    const at = place.get(phase.fromBuild)
    if (at === undefined)
      throw new ArgumentError('study', `a phase begins at build ${phase.fromBuild}, which is not there`)
    const first = subgroups.findIndex((subgroup) => (place.get(subgroup.buildId) as number) >= at)
    return first === -1 ? subgroups.length : first
  })
  const spans: Span[] = []
  for (const [i, phase] of phases.entries()) {
    const from = starts[i] as number
    const to = (starts[i + 1] ?? subgroups.length) - 1
    if (to >= from) spans.push({ from, to, baselineTo: Math.min(to, from + phase.baselineCount - 1), phase })
  }
  return spans
}

/** One form for the whole chart: three-way as soon as builds differ in the baseline of any phase. */
function chooseForm(study: Study, subgroups: readonly MergedSubgroup[], spans: readonly Span[]): ChartForm {
  if (subgroups.every((subgroup) => subgroup.n === 1)) return 'individuals'
  const differ = spans.some(
    (span) => testBetween(baseline(subgroups, span), study.betweenLevel)?.differs ?? false,
  )
  return differ ? 'three-way' : 'mean-and-s'
}

function baseline(subgroups: readonly MergedSubgroup[], span: Span) {
  return subgroups.slice(span.from, span.baselineTo + 1).map((subgroup) => subgroup.moments)
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
  const base = baseline(subgroups, span)
  const means = base.map((moments) => moments.mean)
  const within = sigmaWithin(base, study.within)
  const ofMeans = sigmaFromMovingRange(means, study.step)
  const centre = form === 'mean-and-s' ? weightedMean(base) : average(means)
  const between = betweenSigma(base, within?.sigma ?? null, ofMeans?.sigma ?? null)

  for (let i = span.from; i <= span.to; i++) {
    const subgroup = subgroups[i] as MergedSubgroup
    const standardError =
      form === 'mean-and-s'
        ? within === null
          ? null
          : within.sigma / Math.sqrt(subgroup.n)
        : (ofMeans?.sigma ?? null)
    setPoint(panels.location, i, subgroup.mean, centre, standardError)
    if (panels.spread !== null && within !== null) setSpread(panels.spread, i, subgroup, within.sigma, study)
  }
  if (panels.movingRange !== null) fillMovingRange(panels.movingRange, subgroups, span, ofMeans)

  return {
    from: span.from,
    to: span.to,
    baselineTo: span.baselineTo,
    reason: span.phase.reason,
    provisional: base.length < PROVISIONAL_BELOW,
    centre,
    sigmaWithin: within?.sigma ?? null,
    dfWithin: within?.df ?? 0,
    sigmaBetween: between,
    betweenTest: testBetween(base, study.betweenLevel),
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
  span: Span,
  ofMeans: SigmaEstimate | null,
): void {
  for (let i = span.from + 1; i <= span.to; i++) {
    const step = Math.abs((subgroups[i] as MergedSubgroup).mean - (subgroups[i - 1] as MergedSubgroup).mean)
    setPoint(panel, i, step, ofMeans && d2(2) * ofMeans.sigma, ofMeans && d3(2) * ofMeans.sigma)
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
