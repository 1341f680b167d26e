import { changeStudy, type StudyChange } from '../../src/charts/change-study.ts'
import { buildChart } from '../../src/charts/chart.ts'
import { compareCharts } from '../../src/charts/compare-charts.ts'
import type { Provenance } from '../../src/charts/frozen-limits.ts'
import type { ChartModel, Signal } from '../../src/charts/model.ts'
import type { Study } from '../../src/charts/study.ts'
import type { Cell, Stage } from '../../src/domain/cell.ts'
import type { Characteristic } from '../../src/domain/characteristic.ts'
import { ArgumentError } from '../../src/errors.ts'
import { signalWords } from '../../src/words/signal.ts'
import { changeWords } from '../../src/words/study-words.ts'
import type { SignalNote, StudyPreview } from '../contract/decisions.ts'
import type { StudyChangeRequest } from '../contract/requests.ts'
import type { PartNumber, TimelineBuild } from '../contract/views.ts'
import { ProblemError } from '../problem.ts'
import type { Store } from '../store/store.ts'
import { studiesOf } from '../store/studies-on-record.ts'

/** A study with everything that a change of it is judged by. */
export interface StudyAtHand {
  readonly study: Study
  readonly version: number
  readonly cells: readonly Cell[]
  readonly builds: readonly TimelineBuild[]
}

export async function studyAtHand(
  store: Store,
  partNumber: PartNumber,
  characteristic: Characteristic,
  stage: Stage,
): Promise<StudyAtHand> {
  const [builds, cells] = await Promise.all([
    store.builds(partNumber.id, stage),
    store.cellsOf(characteristic.id, stage),
  ])
  const studies = await studiesOf(store, partNumber.id, stage, builds)
  return { ...studies.of(characteristic.id), cells, builds }
}

/**
 * The change with builds by their ids.
 *
 * @throws ProblemError where a build is not on the timeline
 */
export function changeOf(request: StudyChangeRequest, builds: readonly TimelineBuild[]): StudyChange {
  const id = (name: string) => {
    const build = builds.find((each) => each.name === name)
    if (build === undefined) {
      throw new ProblemError(400, {
        what: `There is no build ${name} on this timeline.`,
        where: 'change',
        next: 'Pick a build from the chart.',
      })
    }
    return build.id
  }
  switch (request.kind) {
    case 'choose-tests':
    case 'choose-estimators':
    case 'choose-repeats':
      return request
    case 'choose-baseline': {
      const { span } = request
      return {
        ...request,
        build: id(request.build),
        span: span && { from: id(span.from), to: id(span.to) },
      }
    }
    default:
      return { ...request, build: id(request.build) }
  }
}

/**
 * The study with the change made, as version `provenance.version`.
 *
 * @throws ProblemError where it cannot be made, saying why
 */
export function changedStudy(atHand: StudyAtHand, change: StudyChange, provenance: Provenance): Study {
  try {
    return changeStudy(atHand, change, provenance)
  } catch (error) {
    if (!(error instanceof ArgumentError)) throw error
    throw new ProblemError(422, {
      what: `This cannot be done: ${error.message.slice(error.argument.length + 2)}.`,
      where: null,
      next: 'Nothing was changed. Look at the chart as it is now, and choose again.',
    })
  }
}

/** What a change would do, without doing it. @param cellsThen the cells as the change would have them */
export function previewOf(atHand: StudyAtHand, change: StudyChange, cellsThen = atHand.cells): StudyPreview {
  const { study, version, cells, builds } = atHand
  const provenance = { who: 'you', at: 0, reason: 'as previewed', version: version + 1 }
  const before = buildChart(study, cells, builds)
  const after = buildChart(changedStudy(atHand, change, provenance), cellsThen, builds)
  const { gained, lost } = compareCharts(before, after)
  const names = new Map(builds.map((build) => [build.id, build.name]))
  return {
    version,
    did: changeWords(change, (id) => names.get(id) ?? ''),
    before,
    after,
    gained: gained.map((signal) => noteOf(after, signal)),
    lost: lost.map((signal) => noteOf(before, signal)),
  }
}

function noteOf(chart: ChartModel, signal: Signal): SignalNote {
  const label = (i: number | undefined) => chart.subgroups[i ?? -1]?.label ?? ''
  return { words: signalWords(signal), from: label(signal.points[0]), to: label(signal.points.at(-1)) }
}
