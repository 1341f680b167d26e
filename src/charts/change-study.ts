import type { Cell } from '../domain/cell.ts'
import { ArgumentError } from '../errors.ts'
import { buildChart } from './chart.ts'
import { freezeLimits, type Provenance } from './frozen-limits.ts'
import { type BuildLabel, placesOf } from './places.ts'
import type { RepeatChoice } from './repeats.ts'
import {
  BASELINE_SUBGROUPS,
  type BuildSpan,
  type Phase,
  type StepEstimator,
  type Study,
  type WithinEstimator,
} from './study.ts'
import type { TestId } from './tests.ts'

/** One decision about how a characteristic is charted. A phase is named by any build in it. */
export type StudyChange =
  | { readonly kind: 'open-phase'; readonly build: number }
  /** The phase that holds the build is judged with the one before it. */
  | { readonly kind: 'join-phase'; readonly build: number }
  /** A null span goes back to the first subgroups of the phase. */
  | { readonly kind: 'choose-baseline'; readonly build: number; readonly span: BuildSpan | null }
  | { readonly kind: 'freeze-limits'; readonly build: number }
  /** Frozen limits are computed again. */
  | { readonly kind: 'release-limits'; readonly build: number }
  | { readonly kind: 'choose-tests'; readonly tests: readonly TestId[] }
  | { readonly kind: 'choose-repeats'; readonly repeats: RepeatChoice }
  | { readonly kind: 'choose-estimators'; readonly within: WithinEstimator; readonly step: StepEstimator }

/** What a change is made on. */
export interface StudyGround {
  readonly study: Study
  readonly cells: readonly Cell[]
  /** The timeline. */
  readonly builds: readonly BuildLabel[]
}

/** A baseline of fewer subgroups than this has no step between neighbours. */
const LEAST_BASELINE = 2

/**
 * The study with one change made.
 *
 * @throws ArgumentError where the change cannot be made on that study; the message says why
 */
export function changeStudy(ground: StudyGround, change: StudyChange, provenance: Provenance): Study {
  const { study } = ground
  switch (change.kind) {
    case 'open-phase':
      return openPhase(ground, change.build, provenance.reason)
    case 'join-phase': {
      const at = phaseAt(ground, change.build)
      const phase = study.phases[at] as Phase
      if (phase.fromBuild === null) throw new ArgumentError('change', 'the first phase has none before it')
      return { ...study, phases: study.phases.filter((each) => each !== phase) }
    }
    case 'choose-baseline':
      return chooseBaseline(ground, change.build, change.span)
    case 'freeze-limits': {
      const at = phaseAt(ground, change.build)
      if (study.phases[at]?.frozen) throw new ArgumentError('change', 'its limits are frozen already')
      const chart = buildChart(study, ground.cells, ground.builds)
      const place = placesOf(ground.builds)
      const start = startOf(study.phases[at] as Phase, place)
      const end = Math.min(
        ...study.phases.map((phase) => startOf(phase, place)).filter((other) => other > start),
      )
      const phase = chart.phases.findIndex(({ baselineFrom }) => {
        const position = place.get(chart.subgroups[baselineFrom]?.buildId as number) as number
        return position >= start && position < end
      })
      if (phase === -1) throw new ArgumentError('change', 'it has no limits yet')
      if (chart.phases[phase]?.sigmaWithin === null && chart.phases[phase]?.sigmaMeans === null)
        throw new ArgumentError('change', 'it has no limits yet')
      return withPhase(study, at, { frozen: freezeLimits(chart, phase, provenance) })
    }
    case 'release-limits': {
      const at = phaseAt(ground, change.build)
      if (!study.phases[at]?.frozen) throw new ArgumentError('change', 'its limits are not frozen')
      return withPhase(study, at, { frozen: null })
    }
    case 'choose-tests':
      return { ...study, tests: [...new Set(change.tests)] }
    case 'choose-repeats':
      if (study.repeats === change.repeats) throw new ArgumentError('change', 'that is what counts already')
      return { ...study, repeats: change.repeats }
    case 'choose-estimators':
      return { ...study, within: change.within, step: change.step }
  }
}

function openPhase(ground: StudyGround, build: number, reason: string): Study {
  const { study, builds } = ground
  const place = placesOf(builds)
  const at = placeIn(place, build)
  const measured = new Set(ground.cells.map((cell) => cell.buildId))
  if (!builds.slice(0, at).some(({ id }) => measured.has(id)))
    throw new ArgumentError(
      'change',
      'no build before it is measured, so that its phase begins there already',
    )
  if (study.phases.some((phase) => phase.fromBuild === build))
    throw new ArgumentError('change', 'a phase begins there already')
  const phases = [...study.phases, { fromBuild: build, reason, baselineCount: BASELINE_SUBGROUPS }]
  return { ...study, phases: phases.sort((a, b) => startOf(a, place) - startOf(b, place)) }
}

function chooseBaseline(ground: StudyGround, build: number, span: BuildSpan | null): Study {
  const { study, builds } = ground
  const at = phaseAt(ground, build)
  if (study.phases[at]?.frozen)
    throw new ArgumentError('change', 'its limits are frozen; have them computed again first')
  if (span === null) return withPhase(study, at, { baseline: null })
  const place = placesOf(builds)
  const [from, to] = [placeIn(place, span.from), placeIn(place, span.to)]
  if (from > to) throw new ArgumentError('change', 'its first build comes after its last')
  if (phaseAt(ground, span.from) !== at || phaseAt(ground, span.to) !== at)
    throw new ArgumentError('change', 'a baseline lies inside one phase')
  const trial = withPhase(study, at, { baseline: span })
  const chart = buildChart(trial, ground.cells, builds)
  const counted = chart.subgroups.filter(({ buildId, leftOut }) => {
    const position = place.get(buildId) as number
    return !leftOut && position >= from && position <= to
  })
  if (counted.length < LEAST_BASELINE)
    throw new ArgumentError('change', 'a baseline needs at least two builds that are not left out')
  return trial
}

/** Position of the phase that holds a build. */
function phaseAt({ study, builds }: StudyGround, build: number): number {
  const place = placesOf(builds)
  const at = placeIn(place, build)
  let best = -1
  for (const [i, phase] of study.phases.entries()) {
    const start = startOf(phase, place)
    if (start <= at && (best === -1 || start >= startOf(study.phases[best] as Phase, place))) best = i
  }
  if (best === -1) throw new ArgumentError('change', 'no phase holds that build')
  return best
}

function withPhase(study: Study, at: number, patch: Partial<Phase>): Study {
  return { ...study, phases: study.phases.map((phase, i) => (i === at ? { ...phase, ...patch } : phase)) }
}

function placeIn(place: ReadonlyMap<number, number>, build: number): number {
  const at = place.get(build)
  if (at === undefined) throw new ArgumentError('change', `build ${build} is not on the timeline`)
  return at
}

function startOf(phase: Phase, place: ReadonlyMap<number, number>): number {
  return phase.fromBuild === null ? -1 : placeIn(place, phase.fromBuild)
}
