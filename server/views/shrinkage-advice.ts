import type { ChartModel, Signal } from '../../src/charts/model.ts'
import { DEFAULT_STUDY, type Study } from '../../src/charts/study.ts'
import type { Axis } from '../../src/domain/characteristic.ts'
import { answersSignals } from '../../src/domain/finding.ts'
import { advise } from '../../src/shrinkage/advice.ts'
import { problemList } from '../../src/shrinkage/problem-list.ts'
import { chartSeries, openSignals, shrinkageSeries } from '../../src/shrinkage/series.ts'
import { AXES, type SizeTerms } from '../../src/shrinkage/terms.ts'
import { characteristicTitle } from '../../src/words/format.ts'
import type { TimelineBuild } from '../contract/views.ts'
import type { Written } from './findings.ts'
import type { ShrinkageOnRecord } from './shrinkage-fit.ts'

/** How shrinkage itself is charted. */
export const SHRINKAGE_STUDY: Study = { ...DEFAULT_STUDY, stage: 'sintered' }

/** The advice, with the charts whose signals it heeds. */
export function adviceOn(record: ShrinkageOnRecord, written: Written) {
  const { terms, builds, fit, present, settings } = record
  const charts = new Map<Axis, { chart: ChartModel; open: readonly Signal[] }>()
  for (const axis of AXES) {
    const series = shrinkageSeries(fit, axis)
    if (series.buildIds.length === 0) continue
    const chart = chartSeries(series, SHRINKAGE_STUDY, builds)
    charts.set(axis, { chart, open: openSignals(chart, explainedBuilds(axis, terms, builds, written)) })
  }
  const unexplained = new Set([...charts].flatMap(([axis, { open }]) => (open.length > 0 ? [axis] : [])))
  return { advice: advise(fit, present.factors, unexplained, settings.adjustment), charts }
}

/** Builds inside a finding that explains a characteristic of the axis. */
function explainedBuilds(
  axis: Axis,
  terms: readonly SizeTerms[],
  builds: readonly TimelineBuild[],
  { findings }: Written,
): ReadonlySet<number> {
  const along = designatorsAlong(axis, terms)
  const ids = new Set<number>()
  for (const { state, places, characteristics } of findings) {
    if (places === null || !answersSignals(state) || !characteristics.some((each) => along.has(each)))
      continue
    for (const build of builds.slice(places.from, places.to + 1)) ids.add(build.id)
  }
  return ids
}

export function designatorsAlong(axis: Axis, terms: readonly SizeTerms[]): ReadonlySet<string> {
  return new Set(
    terms.filter(({ weights }) => weights[axis] > 0.5).map(({ characteristic }) => characteristic.designator),
  )
}

/** What the record lacks, in words. */
export function problemsOf({ fit, characteristics, builds }: ShrinkageOnRecord) {
  const names = {
    characteristic: (id: number) => {
      const found = characteristics.find((each) => each.id === id)
      return found === undefined ? 'A characteristic' : characteristicTitle(found)
    },
    build: (id: number) => builds.find((build) => build.id === id)?.name ?? 'not known',
  }
  return problemList(fit.problems, names)
}
