import { dueState } from '../../src/gauges/due.ts'
import { measuringSheet } from '../../src/gauges/measuring-sheet.ts'
import { type MovedGauge, shopWords } from '../../src/gauges/shop-words.ts'
import { characteristicTitle } from '../../src/words/format.ts'
import type {
  CharacteristicPlace,
  GaugeChoicesView,
  GaugePlanView,
  GaugeRow,
  GaugesView,
  GaugeView,
  MeasuredRow,
  PlanRow,
} from '../contract/gauges.ts'
import type { RegisteredGauge } from '../store/gauge-register.ts'
import { type GaugeResult, gaugeResults } from '../store/gauge-results.ts'
import type { GaugePlan } from '../store/gauge-studies.ts'
import {
  checkPartSeries,
  type GaugesOnRecord,
  gaugesOnRecord,
  latestEntry,
  today,
} from '../store/gauges-on-record.ts'
import { naturalOrder } from '../store/natural-order.ts'
import type { Store } from '../store/store.ts'
import { checkPartView, studyRow } from './gauge-study-view.ts'

/** All gauges, what they are good for, and what was studied and planned. */
export async function gaugesView(store: Store): Promise<GaugesView> {
  const [record, results] = await Promise.all([gaugesOnRecord(store), gaugeResults(store)])
  const day = today()
  const gauges = record.gauges
    .map((gauge) => gaugeRow(record, gauge, day))
    .sort((a, b) => naturalOrder(a.name, b.name))
  const characteristics = [...record.characteristics.values()]
    .sort(inOrder)
    .map((on) => measuredRow(on, results.of(on.characteristic.id)))
  const dues = gauges.flatMap(({ name, due, state }) => (state === null ? [] : [{ name, due, state }]))
  const titled = characteristics.map(({ characteristic, judgement }) => ({
    title: characteristicTitle(characteristic),
    judgement,
  }))
  return {
    ...shopWords(titled, dues, movedGauges(record, record.gauges), day),
    today: day,
    gauges,
    characteristics,
    studies: (await Promise.all(record.studies.map((study) => studyRow(store, study)))).reverse(),
    plans: record.plans.map((plan) => planRow(record, plan)).reverse(),
  }
}

/** One gauge with its history. Null where nothing on record names it. */
export async function gaugeView(store: Store, name: string): Promise<GaugeView | null> {
  const [record, results] = await Promise.all([gaugesOnRecord(store), gaugeResults(store)])
  const gauge = record.gauges.find((each) => each.name === name)
  if (gauge === undefined) return null
  const day = today()
  const row = gaugeRow(record, gauge, day)
  const all = [...record.characteristics.values()].sort(inOrder)
  const own = all.flatMap((on) => {
    const result = results.all(on.characteristic.id).find((each) => each.gauge === name)
    return result === undefined ? [] : [measuredRow(on, result)]
  })
  const studies = record.studies.filter(({ gauges }) => gauges.includes(name))
  const dues = row.state === null ? [] : [{ name, due: row.due, state: row.state }]
  const titled = own.map(({ characteristic, judgement }) => ({
    title: characteristicTitle(characteristic),
    judgement,
  }))
  const moved = movedGauges(record, [gauge])
  const words = shopWords(titled, dues, moved, day, `${name} is`)
  return {
    name,
    headline:
      own.length > 0 || moved.length > 0
        ? words.headline
        : [
            { text: `${name} ` },
            { text: row.kind === null ? 'is named in files only' : 'measures nothing yet', role: 'strong' },
            {
              text:
                row.kind === null
                  ? ': nothing is said of it, and no study tells what it can do.'
                  : ', as far as the register and the studies say.',
            },
          ],
    grounds: words.grounds,
    today: day,
    state: row.state,
    entries: gauge.entries.toReversed().map(({ characteristicIds, ...entry }) => ({
      ...entry,
      measures: placesOf(record, characteristicIds),
    })),
    results: own,
    checks: checkPartSeries(studies).map(checkPartView),
    studies: (await Promise.all(studies.map((study) => studyRow(store, study)))).reverse(),
    characteristics: all,
  }
}

/** What a plan or an entry can be about. */
export async function gaugeChoicesView(store: Store): Promise<GaugeChoicesView> {
  const record = await gaugesOnRecord(store)
  return {
    gauges: record.gauges.map(({ name }) => name).sort(naturalOrder),
    characteristics: [...record.characteristics.values()].sort(inOrder),
  }
}

/** A plan with the order in which to measure. Null where there is none of this number. */
export async function gaugePlanView(store: Store, number: number): Promise<GaugePlanView | null> {
  const record = await gaugesOnRecord(store)
  const plan = record.plans.find(({ id }) => id === number)
  if (plan === undefined) return null
  const { parts, inspectors, trials, seed } = plan
  return {
    ...planRow(record, plan),
    partNames: parts,
    inspectorNames: inspectors,
    seed,
    lines: measuringSheet(parts, inspectors, trials, seed),
  }
}

/** Gauges in use that moved by their check parts and were not calibrated since. */
function movedGauges(record: GaugesOnRecord, gauges: readonly RegisteredGauge[]): MovedGauge[] {
  return gauges.flatMap((gauge) => {
    const entry = latestEntry(gauge)
    if (entry?.inUse === false) return []
    const own = record.studies.filter((study) => study.gauges.includes(gauge.name))
    return checkPartSeries(own).flatMap((series): MovedGauge[] => {
      const { part, moved } = checkPartView(series)
      if (moved === null || (entry?.certificate?.date ?? '') >= moved) return []
      return [{ name: gauge.name, part, day: moved }]
    })
  })
}

function gaugeRow(record: GaugesOnRecord, gauge: RegisteredGauge, day: string): GaugeRow {
  const entry = latestEntry(gauge)
  const last = record.studies.findLast(({ gauges }) => gauges.includes(gauge.name))
  return {
    name: gauge.name,
    kind: entry?.kind ?? null,
    due: entry?.due ?? null,
    state: entry === null ? null : dueState(entry.due, day, entry.inUse),
    measures: placesOf(record, entry?.characteristicIds ?? []),
    lastStudy: last === undefined ? null : { id: last.record.id, at: last.record.at },
  }
}

function measuredRow(on: CharacteristicPlace, result: GaugeResult | null): MeasuredRow {
  return {
    ...on,
    gauge: result?.gauge ?? null,
    judgement: result?.judgement ?? null,
    categories: result?.study?.categories ?? null,
    gaugeSd: result?.gaugeSd ?? null,
    uncertainty: result?.uncertainty ?? null,
    studyId: result?.studyId ?? null,
    studiedAt: result?.studiedAt ?? null,
  }
}

function planRow(record: GaugesOnRecord, plan: GaugePlan): PlanRow {
  return {
    number: plan.id,
    gauge: record.gauges.find(({ id }) => id === plan.gaugeId)?.name ?? null,
    on: plan.characteristicId === null ? null : (record.characteristics.get(plan.characteristicId) ?? null),
    parts: plan.parts.length,
    inspectors: plan.inspectors.length,
    trials: plan.trials,
    who: plan.who,
    at: plan.at,
    studyId: record.studies.findLast((study) => study.record.planId === plan.id)?.record.id ?? null,
  }
}

function placesOf(record: GaugesOnRecord, ids: readonly number[]): CharacteristicPlace[] {
  return ids
    .flatMap((id) => {
      const place = record.characteristics.get(id)
      return place === undefined ? [] : [place]
    })
    .sort(inOrder)
}

function inOrder(a: CharacteristicPlace, b: CharacteristicPlace): number {
  return (
    naturalOrder(a.partNumber.number, b.partNumber.number) ||
    naturalOrder(a.partNumber.revision, b.partNumber.revision) ||
    naturalOrder(a.characteristic.designator, b.characteristic.designator)
  )
}
