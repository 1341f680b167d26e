import { buildChart } from '../../src/charts/chart.ts'
import type { ChartModel } from '../../src/charts/model.ts'
import { placesOf } from '../../src/charts/places.ts'
import type { Cell, Stage } from '../../src/domain/cell.ts'
import { emptyCells } from '../../src/domain/cell-columns.ts'
import type { Characteristic } from '../../src/domain/characteristic.ts'
import { falseAlarmsPerBuild, typicalSize } from '../../src/events/false-alarm-rate.ts'
import { gaugeChanges, gaugeChangeWords, signalBeginnings } from '../../src/gauges/gauge-changes.ts'
import { answerTo } from '../../src/overview/answers.ts'
import { buildOverview, type Charted } from '../../src/overview/build-overview.ts'
import { chartGrounds } from '../../src/words/chart-words.ts'
import { testWords } from '../../src/words/signal.ts'
import type { ChartView, DriftView, PartNumber, TimelineBuild } from '../contract/views.ts'
import { kept } from '../store/kept.ts'
import type { Store } from '../store/store.ts'
import { studiesOf } from '../store/studies-on-record.ts'
import { writtenOf } from './findings.ts'
import { exclusionViews, studyView } from './studies.ts'

/** Cells of a part number by characteristic. */
export function cellsByCharacteristic(cells: readonly Cell[]): Map<number, Cell[]> {
  const grouped = new Map<number, Cell[]>()
  for (const cell of cells) {
    const group = grouped.get(cell.characteristicId)
    if (group === undefined) grouped.set(cell.characteristicId, [cell])
    else group.push(cell)
  }
  return grouped
}

const NO_CELLS = emptyCells(0)

/** Every characteristic of a part number over its builds. */
export function driftView(store: Store, partNumber: PartNumber, stage: Stage): Promise<DriftView> {
  return kept(store, `drift ${partNumber.id} ${stage}`, () => computeDrift(store, partNumber, stage))
}

async function computeDrift(store: Store, partNumber: PartNumber, stage: Stage): Promise<DriftView> {
  const { builds, charted, findings, remarks } = await chartedOnRecord(store, partNumber, stage)
  return { partNumber, stage, builds, overview: buildOverview(charted, builds), findings, remarks }
}

/** All characteristics of a part number with what is on record of them. */
export async function chartedOnRecord(store: Store, partNumber: PartNumber, stage: Stage) {
  // All at once: a database server answers them side by side.
  const reading = store.builds(partNumber.id, stage)
  const named = store.characteristics(partNumber.id)
  const [builds, characteristics, cells, studies, written] = await Promise.all([
    reading,
    named,
    store.cellsByCharacteristic(partNumber.id, stage),
    studiesOf(store, partNumber.id, stage, reading),
    named.then((all) => writtenOf(store, partNumber.id, stage, all, reading)),
  ])
  const charted = characteristics.map(
    (characteristic): Charted => ({
      characteristic,
      study: studies.of(characteristic.id).study,
      cells: cells.get(characteristic.id) ?? NO_CELLS,
      answers: written.answers(characteristic.designator),
    }),
  )
  return { builds, charted, findings: written.findings, remarks: written.remarks }
}

/** The control chart of one characteristic. */
export async function chartView(
  store: Store,
  partNumber: PartNumber,
  characteristic: Characteristic,
  stage: Stage,
): Promise<ChartView> {
  // All at once: a database server answers them side by side.
  const reading = store.builds(partNumber.id, stage)
  const [builds, cells, studies, written] = await Promise.all([
    reading,
    store.cellsOf(characteristic.id, stage, partNumber.id),
    studiesOf(store, partNumber.id, stage, reading),
    writtenOf(store, partNumber.id, stage, [characteristic], reading),
  ])
  const onRecord = studies.of(characteristic.id)
  const chart = buildChart(onRecord.study, cells, builds)
  const places = placesOf(builds)
  const positions = chart.subgroups.map((subgroup) => places.get(subgroup.buildId) as number)
  const own = written.answers(characteristic.designator)
  const answers = chart.signals.map(({ points }) =>
    answerTo(
      points.map((i) => positions[i] as number),
      own,
    ),
  )
  const charted = positions.map((place) => builds[place] as TimelineBuild)
  const [gaugeWords, study] = await Promise.all([
    gaugeWordsOf(store, characteristic, stage, chart, charted),
    studyView(store, characteristic, onRecord, builds),
  ])
  const grounds = chartGrounds(characteristic, chart, answers)
  const open = gaugeWords.find((words, i) => words !== null && answers[i] === null)
  return {
    partNumber,
    characteristic,
    stage,
    builds: charted,
    chart,
    grounds:
      open === undefined || open === null
        ? grounds
        : [{ text: `A signal stands unanswered. ${open} ` }, ...grounds],
    signalWords: chart.signals.map(testWords),
    falseAlarmEvery: falseAlarmEvery(chart),
    answers,
    gaugeWords,
    study,
    exclusions: exclusionViews(
      studies.exclusions.filter((record) => record.characteristicId === characteristic.id),
      [characteristic],
      builds,
    ),
  }
}

/** Builds from one false alarm to the next, of the test of each signal. */
function falseAlarmEvery({ signals, subgroups, spreadStatistic }: ChartModel): number[] {
  const size = typicalSize(subgroups)
  const known = new Map<string, number>()
  return signals.map((signal) => {
    const kind = `${signal.panel} ${signal.test}`
    const every = known.get(kind) ?? 1 / falseAlarmsPerBuild(signal, size, spreadStatistic)
    known.set(kind, every)
    return every
  })
}

/**
 * What a change of gauge says of each signal; null for those that begin at none. Measurements are read only of builds
 * that signals begin in, and only where not all values of both builds can be of one gauge.
 *
 * @param builds those of the chart's subgroups
 */
async function gaugeWordsOf(
  store: Store,
  characteristic: Characteristic,
  stage: Stage,
  chart: ChartModel,
  builds: readonly TimelineBuild[],
): Promise<(string | null)[]> {
  const uncertain = new Set<number>()
  for (const beginning of signalBeginnings(chart)) {
    if (beginning === null) continue
    const [from, to] = beginning.map((i) => (builds[i] as TimelineBuild).gauges) as [string[], string[]]
    const isOneGauge = from.length === 1 && to.length === 1 && from[0] === to[0]
    if (!isOneGauge) for (const i of beginning) uncertain.add((builds[i] as TimelineBuild).id)
  }
  const gauges = await store.gaugesOfBuilds(characteristic.id, stage, [...uncertain])
  const changes = new Map(
    gaugeChanges(chart, (i) => gauges.get((builds[i] as TimelineBuild).id) ?? []).map((change) => [
      change.signal,
      gaugeChangeWords(change),
    ]),
  )
  return chart.signals.map((_, i) => changes.get(i) ?? null)
}
