import { buildChart } from '../../src/charts/chart.ts'
import type { ChartModel, Signal } from '../../src/charts/model.ts'
import type { Study } from '../../src/charts/study.ts'
import { type Cell, STAGES, type Stage } from '../../src/domain/cell.ts'
import type { Characteristic } from '../../src/domain/characteristic.ts'
import { characteristicTitle } from '../../src/words/format.ts'
import { signalWords } from '../../src/words/signal.ts'
import type { NewSignal } from '../contract/receipt.ts'
import type { TimelineBuild } from '../contract/views.ts'
import type { Store } from '../store/store.ts'
import { studiesOf } from '../store/studies-on-record.ts'

/** Signals that a receipt lists. */
const LISTED = 200

/** What the charts of one part number at one stage are made from, beside their cells. */
interface Charted {
  /** Names part number and stage. */
  readonly key: string
  readonly number: string
  readonly revision: string
  readonly stage: Stage
  readonly builds: readonly TimelineBuild[]
  readonly characteristics: readonly Characteristic[]
  readonly studyOf: (characteristicId: number) => Study
}

type ChartedWithCells = Charted & { readonly cells: ReadonlyMap<number, readonly Cell[]> }

/** The charts of part numbers as they were at one moment, by part number and stage. */
export type ChartedNow = ReadonlyMap<string, ChartedWithCells>

export async function chartedNow(store: Store, partNumberIds: ReadonlySet<number>): Promise<ChartedNow> {
  const all = new Map<string, ChartedWithCells>()
  for await (const charted of chartsOf(store, partNumberIds)) {
    const cells = new Map<number, readonly Cell[]>()
    for (const { id } of charted.characteristics) cells.set(id, await cellsOf(store, id, charted.stage))
    all.set(charted.key, { ...charted, cells })
  }
  return all
}

async function* chartsOf(store: Store, partNumberIds: ReadonlySet<number>): AsyncGenerator<Charted> {
  for (const { id, number, revision } of await store.partNumbers()) {
    if (!partNumberIds.has(id)) continue
    const characteristics = await store.characteristics(id)
    for (const stage of STAGES) {
      const builds = await store.builds(id, stage)
      if (builds.length === 0) continue
      const studies = await studiesOf(store, id, stage, builds)
      const studyOf = (characteristicId: number) => studies.of(characteristicId).study
      yield { key: `${id}/${stage}`, number, revision, stage, builds, characteristics, studyOf }
    }
  }
}

/** Cells that the transaction under way has made and not filled yet hold nothing. */
async function cellsOf(store: Store, characteristicId: number, stage: Stage): Promise<readonly Cell[]> {
  return (await store.cellsOf(characteristicId, stage)).filter((cell) => cell.n > 0)
}

/**
 * Signals of the charts that the cells between `before` and now changed, and that were not there before. Charts are
 * made one at a time, since those of a long record take much memory together.
 */
export async function newSignals(
  before: ChartedNow,
  store: Store,
  partNumberIds: ReadonlySet<number>,
): Promise<NewSignal[]> {
  const found: NewSignal[] = []
  for await (const now of chartsOf(store, partNumberIds)) {
    const then = before.get(now.key)
    for (const characteristic of now.characteristics) {
      const cells = await cellsOf(store, characteristic.id, now.stage)
      const cellsThen = then?.cells.get(characteristic.id) ?? []
      if (cells.length === 0 || sameCells(cells, cellsThen)) continue
      const chart = buildChart(now.studyOf(characteristic.id), cells, now.builds)
      const known =
        then === undefined || cellsThen.length === 0
          ? []
          : signalKeys(buildChart(then.studyOf(characteristic.id), cellsThen, then.builds))
      for (const signal of chart.signals) {
        const key = keyOf(signal)
        const buildIds = signal.points.map((point) => chart.subgroups[point]?.buildId as number)
        // A run that has grown longer is the signal that was there.
        if (known.some((old) => old.key === key && buildIds.some((id) => old.builds.has(id)))) continue
        if (found.length >= LISTED) return found
        const builds = signal.points.map((point) => chart.subgroups[point]?.label as string)
        found.push({
          number: now.number,
          revision: now.revision,
          characteristic: characteristic.designator,
          stage: now.stage,
          builds,
          text: `${characteristicTitle(characteristic)}, ${buildsInWords(builds)}: ${signalWords(signal)}.`,
        })
      }
    }
  }
  return found
}

function keyOf({ panel, test, side }: Signal): string {
  return `${panel}/${test}/${side}`
}

function signalKeys(chart: ChartModel): { key: string; builds: ReadonlySet<number> }[] {
  return chart.signals.map((signal) => ({
    key: keyOf(signal),
    builds: new Set(signal.points.map((point) => chart.subgroups[point]?.buildId as number)),
  }))
}

function buildsInWords(builds: readonly string[]): string {
  const [first] = builds
  return builds.length === 1 ? `build ${first}` : `builds ${first} to ${builds[builds.length - 1]}`
}

function sameCells(a: readonly Cell[], b: readonly Cell[]): boolean {
  const sum = (cells: readonly Cell[]) => cells.reduce((total, cell) => total + cell.n, 0)
  return a.length === b.length && sum(a) === sum(b)
}
