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

/** Measured values of parts with what each proves, by part; within it by characteristic in the order given, stage and reading. */
export async function judgedValues(
  store: Store,
  partNumberId: number,
  buildId: number,
  characteristics: readonly Characteristic[],
  measurements: readonly MeasurementOfPart[],
): Promise<ReadonlyMap<number, readonly PartValue[]>> {
  const gauges = await gaugeResults(store)
  const exclusions = new Map<Stage, ExclusionRecord[]>()
  for (const stage of new Set(measurements.map((each) => each.stage))) {
    const ofStage = await store.exclusions(partNumberId, stage)
    exclusions.set(
      stage,
      ofStage.filter(({ buildId: at, undone }) => at === buildId && undone === null),
    )
  }
  const places = new Map(characteristics.map(({ id }, place) => [id, place]))
  const place = ({ characteristicId }: MeasurementOfPart) => places.get(characteristicId) as number
  const judged = new Map<number, PartValue[]>()
  const stage = (measurement: MeasurementOfPart) => STAGES.indexOf(measurement.stage)
  // The sort is stable: readings stay in their order.
  for (const measurement of measurements.toSorted((a, b) => place(a) - place(b) || stage(a) - stage(b))) {
    const { characteristicId: _, partId, serial, cell, ...own } = measurement
    const characteristic = characteristics[place(measurement)] as Characteristic
    const leftOut = exclusions.get(measurement.stage)?.find((each) => concerns(each, measurement))
    const expanded = gauges.by(characteristic.id, measurement.gauge)?.uncertainty?.expanded ?? null
    const value: PartValue = {
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
    const ofPart = judged.get(partId)
    if (ofPart === undefined) judged.set(partId, [value])
    else ofPart.push(value)
  }
  return judged
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

/** What the judgement rests on, in words: how many values, what is known of their gauges, and what was not judged. */
export function groundsOfJudging(values: readonly PartValue[]): Sentence {
  const judged = values.filter(({ conformity: judgement }) => judgement !== null)
  if (judged.length === 0) return []
  const unknown = judged.filter(({ conformity: judgement }) => judgement?.expanded === null).length
  const uncertainty =
    unknown === 0
      ? 'the uncertainty of the gauges is taken into account (ISO 14253-1)'
      : unknown === judged.length
        ? 'nothing is known of the uncertainty of the gauges, and values are taken as they stand'
        : `of ${countOf(unknown, 'value')} the gauge’s uncertainty is not known, and they are taken as they stand`
  const passedOver = values.filter(
    ({ counts, conformity: judgement, stage }) => !counts && judgement === null && stage !== 'green',
  ).length
  const rest =
    passedOver === 0
      ? ''
      : ` ${passedOver === 1 ? 'One further value that does not count is' : `${countOf(passedOver, 'further value')} that do not count are`} not judged.`
  return [{ text: `From ${countOf(judged.length, 'value')}; ${uncertainty}.${rest}` }]
}
