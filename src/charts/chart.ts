import { c4 } from '../constants/c4.ts'
import { d2, d3 } from '../constants/range-constants.ts'
import { momentsAt } from '../description/moment-columns.ts'
import type { Moments } from '../description/moments.ts'
import type { Cell } from '../domain/cell.ts'
import { cellColumns } from '../domain/cell-columns.ts'
import { ArgumentError } from '../errors.ts'
import { runLengthOfAny } from '../run-length/any-run-length.ts'
import { testBetween } from './between.ts'
import { sigmaFromMovingRange, sigmaWithin } from './estimates.ts'
import type { ChartForm, ChartModel, PhaseLimits, Signal } from './model.ts'
import { deviation, emptyPanel, type PanelColumns, panelOfColumns, setPoint } from './panel-columns.ts'
import { type BuildLabel, type Places, placesOf } from './places.ts'
import { signalsOfPanel } from './signals.ts'
import type { Phase, Study } from './study.ts'
import { type SubgroupColumns, subgroupColumns } from './subgroup-columns.ts'
import { subgroupAt } from './subgroups.ts'
import { ALL_TESTS, type SignalTest } from './tests.ts'

/**
 * The chart model of one characteristic: points, limits, signals. Screen, report and interface all show it.
 *
 * What the study leaves out keeps its place, but limits, steps and tests pass over it: they are those that the chart
 * would have without it.
 *
 * @param study how the characteristic is charted
 * @param cells its cells of the study's stage; those of one build are merged in the order given
 * @param builds the timeline; builds without cells are passed over
 * @throws ArgumentError where the study has no phase, or a phase begins at a build that is not on the timeline
 */
export function buildChart(study: Study, cells: readonly Cell[], builds: readonly BuildLabel[]): ChartModel {
  const places = placesOf(builds)
  const { subgroups, location, movingRange, spread, ...judged } = chartColumns(
    study,
    subgroupColumns(cellColumns(cells), places, study.exclusions),
    places,
  )
  return {
    ...judged,
    spreadStatistic: study.within === 'average-range' ? 'range' : 'standard deviation',
    subgroups: Array.from({ length: subgroups.length }, (_, i) => subgroupAt(subgroups, i, builds)),
    location: panelOfColumns(location),
    movingRange: movingRange && panelOfColumns(movingRange),
    spread: spread && panelOfColumns(spread),
    inControlRunLength: inControlRunLength(testsOf(study)),
  }
}

/** What is judged of a chart, its points side by side; parts are as in `ChartModel`. */
export interface ChartColumns extends Pick<ChartModel, 'form' | 'phases' | 'signals'> {
  readonly subgroups: SubgroupColumns
  readonly location: PanelColumns
  readonly movingRange: PanelColumns | null
  readonly spread: PanelColumns | null
}

/**
 * As `buildChart`, without what only a reader of the chart needs: the same figures to the last digit, at a tenth of the
 * cost.
 *
 * @param subgroups as `subgroupColumns` makes them with the study's exclusions
 * @param places the timeline that they were made on
 * @throws ArgumentError as `buildChart`
 */
export function chartColumns(study: Study, subgroups: SubgroupColumns, places: Places): ChartColumns {
  const spans = phaseSpans(study.phases, subgroups, places)
  const form = chooseForm(study, subgroups, spans)
  const tests = testsOf(study)

  const { length } = subgroups
  const panels: Panels = {
    location: emptyPanel('location', length),
    movingRange: form === 'mean-and-s' ? null : emptyPanel('moving-range', length),
    spread: form === 'individuals' ? null : emptyPanel('spread', length),
  }
  const phases: PhaseLimits[] = []
  const signals: Signal[] = []
  for (const span of spans) {
    phases.push(fillPhase(panels, form, subgroups, span, study))
    for (const panel of [panels.location, panels.movingRange, panels.spread]) {
      if (panel !== null) signals.push(...testPanel(panel, span.from, span.to, tests))
    }
  }
  signals.sort((a, b) => (a.points[0] as number) - (b.points[0] as number))
  return { form, subgroups, phases, ...panels, signals }
}

function testsOf(study: Study): readonly SignalTest[] {
  return ALL_TESTS.filter((test) => study.tests.includes(test.id))
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
function phaseSpans(phases: readonly Phase[], subgroups: SubgroupColumns, places: Places): Span[] {
  if (phases.length === 0) throw new ArgumentError('study', 'a study has at least one phase')
  const placeOf = (buildId: number) => places.get(buildId) ?? Number.NaN
  const starts = phases
    .map((phase) => {
      if (phase.fromBuild === null) return { phase, from: 0 }
      const at = placeOf(phase.fromBuild)
      if (Number.isNaN(at))
        throw new ArgumentError('study', `a phase begins at build ${phase.fromBuild}, which is not there`)
      const first = subgroups.place.findIndex((place) => place >= at)
      return { phase, from: first === -1 ? subgroups.length : first }
    })
    .sort((a, b) => a.from - b.from)
  const spans: Span[] = []
  for (const [i, { phase, from }] of starts.entries()) {
    const to = (starts[i + 1]?.from ?? subgroups.length) - 1
    const included: number[] = []
    for (let k = from; k <= to; k++) if (subgroups.leftOut[k] === 0) included.push(k)
    if (included.length === 0) continue
    const chosen = chosenBaseline(phase, (k) => subgroups.place[k] as number, placeOf)
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
function chooseForm(study: Study, subgroups: SubgroupColumns, spans: readonly Span[]): ChartForm {
  const frozen = spans.findLast((span) => span.phase.frozen)?.phase.frozen
  if (frozen) return frozen.form
  if (subgroups.n.every((n, i) => n === 1 || subgroups.leftOut[i] === 1)) return 'individuals'
  const differ = spans.some(
    (span) => testBetween(momentsOfAll(subgroups, span.baseline), study.betweenLevel)?.differs ?? false,
  )
  return differ ? 'three-way' : 'mean-and-s'
}

function momentsOfAll(subgroups: SubgroupColumns, positions: readonly number[]): Moments[] {
  return positions.map((i) => momentsAt(subgroups, i))
}

/** The panels under construction. */
interface Panels {
  readonly location: PanelColumns
  readonly movingRange: PanelColumns | null
  readonly spread: PanelColumns | null
}

function fillPhase(
  panels: Panels,
  form: ChartForm,
  subgroups: SubgroupColumns,
  span: Span,
  study: Study,
): PhaseLimits {
  const frozen = span.phase.frozen ?? null
  const limits = frozen ?? computedLimits(form, momentsOfAll(subgroups, span.baseline), study)
  const { centre, sigmaWithin, dfWithin, sigmaMeans, sigmaBetween, betweenTest } = limits

  for (const i of span.included) {
    const standardError =
      form === 'mean-and-s' ? sigmaWithin && sigmaWithin / Math.sqrt(subgroups.n[i] as number) : sigmaMeans
    setPoint(panels.location, i, subgroups.mean[i] as number, centre, standardError)
    if (panels.spread !== null && sigmaWithin !== null) {
      setSpread(panels.spread, i, subgroups, sigmaWithin, study)
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
  panel: PanelColumns,
  i: number,
  subgroups: SubgroupColumns,
  sigma: number,
  study: Study,
): void {
  const n = subgroups.n[i] as number
  if (n < 2) return
  if (study.within === 'average-range') {
    const range = (subgroups.max[i] as number) - (subgroups.min[i] as number)
    setPoint(panel, i, range, d2(n) * sigma, d3(n) * sigma)
  } else {
    const sd = Math.sqrt((subgroups.m2[i] as number) / (n - 1))
    setPoint(panel, i, sd, c4(n) * sigma, Math.sqrt(1 - c4(n) ** 2) * sigma)
  }
}

function fillMovingRange(
  panel: PanelColumns,
  { mean }: SubgroupColumns,
  included: readonly number[],
  sigma: number | null,
): void {
  for (let k = 1; k < included.length; k++) {
    const [before, i] = [included[k - 1] as number, included[k] as number]
    const step = Math.abs((mean[i] as number) - (mean[before] as number))
    setPoint(panel, i, step, sigma && d2(2) * sigma, sigma && d3(2) * sigma)
  }
}

function testPanel(panel: PanelColumns, from: number, to: number, tests: readonly SignalTest[]): Signal[] {
  const positions = new Int32Array(to - from + 1)
  const z = new Float64Array(to - from + 1)
  let count = 0
  for (let i = from; i <= to; i++) {
    const distance = deviation(panel, i)
    if (distance === null) continue
    positions[count] = i
    z[count++] = distance
  }
  return signalsOfPanel(panel.id, positions.subarray(0, count), z.subarray(0, count), tests)
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
