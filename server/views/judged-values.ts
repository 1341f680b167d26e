import { STAGES, type Stage } from '../../src/domain/cell.ts'
import type { Characteristic } from '../../src/domain/characteristic.ts'
import { conformity } from '../../src/gauges/conformity.ts'
import { countOf } from '../../src/words/format.ts'
import { type JudgedCharacteristic, strictest } from '../../src/words/part-words.ts'
import type { Sentence } from '../../src/words/sentence.ts'
import type { PartValue, ValueConformity } from '../contract/parts.ts'
import type { ExclusionRecord } from '../store/decision-reads.ts'
import { gaugeResults } from '../store/gauge-results.ts'
import type { MeasurementOfPart } from '../store/part-reads.ts'
import type { Store } from '../store/store.ts'

/**
 * Says of measured values of parts what each proves, by part; within it by characteristic in the order given, stage and
 * reading.
 */
export type ValueJudge = (
  measurements: readonly MeasurementOfPart[],
) => ReadonlyMap<number, readonly PartValue[]>

/** Reads what values of a build are judged by. */
export async function valueJudge(
  store: Store,
  partNumberId: number,
  buildId: number,
  characteristics: readonly Characteristic[],
): Promise<ValueJudge> {
  const gauges = await gaugeResults(store)
  const exclusions = new Map<Stage, ExclusionRecord[]>()
  for (const stage of STAGES) {
    const ofStage = await store.exclusions(partNumberId, stage)
    exclusions.set(
      stage,
      ofStage.filter(({ buildId: at, undone }) => at === buildId && undone === null),
    )
  }
  const places = new Map(characteristics.map(({ id }, place) => [id, place]))
  const place = ({ characteristicId }: MeasurementOfPart) => places.get(characteristicId) as number
  const stageOf = (measurement: MeasurementOfPart) => STAGES.indexOf(measurement.stage)
  const partValue = (measurement: MeasurementOfPart): PartValue => {
    const { characteristicId: _, partId: __, serial: ___, cell, ...own } = measurement
    const characteristic = characteristics[place(measurement)] as Characteristic
    const leftOut = exclusions.get(measurement.stage)?.find((each) => concerns(each, measurement))
    const expanded = gauges.by(characteristic.id, measurement.gauge)?.uncertainty?.expanded ?? null
    return {
      characteristic,
      ...own,
      counts: own.counts && leftOut === undefined,
      leftOut: leftOut === undefined ? null : { who: leftOut.who, at: leftOut.at, reason: leftOut.reason },
      // A build left out of the charts as a whole has made its parts all the same.
      conformity: own.counts ? conformityOf(measurement, characteristic, expanded) : null,
      among: {
        n: cell.n,
        mean: cell.mean,
        deviation: cell.n < 2 ? null : Math.sqrt(cell.m2 / (cell.n - 1)),
      },
    }
  }
  return (measurements) => {
    const judged = new Map<number, PartValue[]>()
    // The sort is stable: readings stay in their order.
    for (const each of measurements.toSorted((a, b) => place(a) - place(b) || stageOf(a) - stageOf(b))) {
      const ofPart = judged.get(each.partId)
      if (ofPart === undefined) judged.set(each.partId, [partValue(each)])
      else ofPart.push(partValue(each))
    }
    return judged
  }
}

function concerns({ characteristicId, single }: ExclusionRecord, measurement: MeasurementOfPart): boolean {
  return (
    characteristicId === measurement.characteristicId &&
    (single === null || (single.serial === measurement.serial && single.replicate === measurement.replicate))
  )
}

/** Limits of the drawing bind once a part is sintered; a green part is larger by what the furnace takes. */
function conformityOf(
  { stage, value, own }: MeasurementOfPart,
  characteristic: Characteristic,
  expanded: number | null,
): ValueConformity | null {
  const { lower, upper } = own ?? characteristic
  if (stage === 'green' || (lower === null && upper === null)) return null
  const { decision, probability } = conformity(own?.measured ?? value, { lower, upper }, expanded ?? 0)
  return { decision, expanded, probability: expanded === null ? null : probability }
}

/** How many characteristics the drawing limits. */
export function limitedCount(characteristics: readonly Characteristic[]): number {
  return characteristics.filter(({ lower, upper }) => lower !== null || upper !== null).length
}

/** What the values of one part prove, by characteristic. */
export function judgedCharacteristics(values: readonly PartValue[]): JudgedCharacteristic[] {
  const found = new Map<number, JudgedCharacteristic>()
  for (const { characteristic, conformity: judgement } of values) {
    if (judgement === null) continue
    const { id, designator, name } = characteristic
    const before = found.get(id)
    const decision =
      before === undefined ? judgement.decision : strictest(before.decision, judgement.decision)
    found.set(id, { designator, name, decision })
  }
  return [...found.values()]
}

/** How many values are judged, and how. */
export interface JudgedCounts {
  readonly judged: number
  /** Of these, those of whose gauge no uncertainty is known. */
  readonly unknown: number
  /** Values that do not count and are not judged, green ones not among them. */
  readonly passedOver: number
}

export function judgedCounts(values: readonly PartValue[]): JudgedCounts {
  const counts = { judged: 0, unknown: 0, passedOver: 0 }
  for (const { counts: isCounted, conformity: judgement, stage } of values) {
    if (judgement !== null) {
      counts.judged++
      if (judgement.expanded === null) counts.unknown++
    } else if (!isCounted && stage !== 'green') counts.passedOver++
  }
  return counts
}

/** What the judgement rests on, in words: how many values, what is known of their gauges, and what was not judged. */
export function groundsOfJudging({ judged, unknown, passedOver }: JudgedCounts): Sentence {
  if (judged === 0) return []
  const uncertainty =
    unknown === 0
      ? 'the uncertainty of the gauges is taken into account (ISO 14253-1)'
      : unknown === judged
        ? 'nothing is known of the uncertainty of the gauges, and values are taken as they stand'
        : `of ${countOf(unknown, 'value')} the gauge’s uncertainty is not known, and they are taken as they stand`
  const rest =
    passedOver === 0
      ? ''
      : ` ${passedOver === 1 ? 'One further value that does not count is' : `${countOf(passedOver, 'further value')} that do not count are`} not judged.`
  return [{ text: `From ${countOf(judged, 'value')}; ${uncertainty}.${rest}` }]
}
