import { buildChart } from '../../src/charts/chart.ts'
import { DEFAULT_STUDY, type Study } from '../../src/charts/study.ts'
import type { Cell, Stage } from '../../src/domain/cell.ts'
import type { Characteristic } from '../../src/domain/characteristic.ts'
import { buildOverview } from '../../src/overview/build-overview.ts'
import { chartWords } from '../../src/words/chart-words.ts'
import { testWords } from '../../src/words/signal.ts'
import type { ChartView, DriftView, PartNumber, TimelineBuild } from '../contract/views.ts'
import type { Store } from '../store/store.ts'
import { kept } from './kept.ts'

/** The study of a characteristic at a stage, until someone decides otherwise. */
export function studyOf(stage: Stage): Study {
  return { ...DEFAULT_STUDY, stage }
}

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

/** Every characteristic of a part number over its builds. */
export function driftView(store: Store, partNumber: PartNumber, stage: Stage): Promise<DriftView> {
  return kept(store, `drift ${partNumber.id} ${stage}`, () => computeDrift(store, partNumber, stage))
}

async function computeDrift(store: Store, partNumber: PartNumber, stage: Stage): Promise<DriftView> {
  const [characteristics, builds, cells] = await Promise.all([
    store.characteristics(partNumber.id),
    store.builds(partNumber.id, stage),
    store.cells(partNumber.id, stage),
  ])
  const grouped = cellsByCharacteristic(cells)
  const study = studyOf(stage)
  const charted = characteristics.map((characteristic) => ({
    characteristic,
    study,
    cells: grouped.get(characteristic.id) ?? [],
  }))
  return { partNumber, stage, builds, overview: buildOverview(charted, builds) }
}

/** The control chart of one characteristic. */
export function chartView(
  store: Store,
  partNumber: PartNumber,
  characteristic: Characteristic,
  stage: Stage,
): Promise<ChartView> {
  return kept(store, `chart ${characteristic.id} ${stage}`, () =>
    computeChart(store, partNumber, characteristic, stage),
  )
}

async function computeChart(
  store: Store,
  partNumber: PartNumber,
  characteristic: Characteristic,
  stage: Stage,
): Promise<ChartView> {
  const [builds, cells] = await Promise.all([
    store.builds(partNumber.id, stage),
    store.cellsOf(characteristic.id, stage),
  ])
  const chart = buildChart(studyOf(stage), cells, builds)
  const byId = new Map(builds.map((build) => [build.id, build]))
  return {
    partNumber,
    characteristic,
    stage,
    builds: chart.subgroups.map((subgroup) => byId.get(subgroup.buildId) as TimelineBuild),
    chart,
    ...chartWords(characteristic, chart),
    signalWords: chart.signals.map(testWords),
  }
}
