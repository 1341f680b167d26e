import type { Stage } from '../../src/domain/cell.ts'
import type { Characteristic } from '../../src/domain/characteristic.ts'
import { conformity } from '../../src/gauges/conformity.ts'
import { countOf } from '../../src/words/format.ts'
import { type JudgedCharacteristic, partHeadline, strictest } from '../../src/words/part-words.ts'
import type { Sentence } from '../../src/words/sentence.ts'
import type { PartValue, PartView, ValueConformity } from '../contract/parts.ts'
import type { PartNumber } from '../contract/views.ts'
import type { ExclusionRecord } from '../store/decision-reads.ts'
import { gaugeResults } from '../store/gauge-results.ts'
import type { MeasurementOfPart, PartOnRecord } from '../store/part-reads.ts'
import type { Store } from '../store/store.ts'

/** Everything that is on record of one part, and whether its values prove that it conforms; null where there is no such part. */
export async function partView(
  store: Store,
  partNumber: PartNumber,
  serial: string,
): Promise<PartView | null> {
  const part = await store.part(partNumber.id, serial)
  if (part === null) return null
  const [characteristics, measurements, gauges] = await Promise.all([
    store.characteristics(partNumber.id),
    store.measurementsOfPart(part),
    gaugeResults(store),
  ])
  const exclusions = new Map<Stage, ExclusionRecord[]>()
  for (const stage of new Set(measurements.map((each) => each.stage))) {
    exclusions.set(stage, await store.exclusions(partNumber.id, stage))
  }
  const values = characteristics.flatMap((characteristic) =>
    measurements
      .filter(({ characteristicId }) => characteristicId === characteristic.id)
      .map((measurement): PartValue => {
        const { characteristicId: _, cell, ...own } = measurement
        const leftOut = exclusions.get(measurement.stage)?.find((each) => concerns(each, measurement, part))
        const expanded = gauges.by(characteristic.id, measurement.gauge)?.uncertainty?.expanded ?? null
        return {
          characteristic,
          ...own,
          counts: own.counts && leftOut === undefined,
          leftOut:
            leftOut === undefined ? null : { who: leftOut.who, at: leftOut.at, reason: leftOut.reason },
          conformity: judged(measurement, characteristic, expanded),
          among: {
            n: cell.n,
            mean: cell.mean,
            deviation: cell.n < 2 ? null : Math.sqrt(cell.m2 / (cell.n - 1)),
          },
        }
      }),
  )
  const decided = decisions(values)
  const measured = new Set(values.map(({ characteristic }) => characteristic.id))
  const { id: _, ...where } = part
  return {
    partNumber,
    ...where,
    headline: partHeadline(serial, decided),
    grounds: groundsOf(values, decided.length),
    values,
    unmeasured: characteristics
      .filter(({ id }) => !measured.has(id))
      .map(({ designator, name }) => ({ designator, name })),
  }
}

function concerns(
  { characteristicId, buildId, single, undone }: ExclusionRecord,
  measurement: MeasurementOfPart,
  { serial, build }: PartOnRecord,
): boolean {
  return (
    undone === null &&
    characteristicId === measurement.characteristicId &&
    buildId === build.id &&
    (single === null || (single.serial === serial && single.replicate === measurement.replicate))
  )
}

/** Limits of the drawing bind once a part is sintered; a green part is larger by what the furnace takes. */
function judged(
  { stage, value, own }: MeasurementOfPart,
  characteristic: Characteristic,
  expanded: number | null,
): ValueConformity | null {
  const { lower, upper } = own ?? characteristic
  if (stage === 'green' || (lower === null && upper === null)) return null
  const { decision, probability } = conformity(own?.measured ?? value, { lower, upper }, expanded ?? 0)
  return { decision, expanded, probability: expanded === null ? null : probability }
}

/** What the values that count prove, by characteristic. */
function decisions(values: readonly PartValue[]): JudgedCharacteristic[] {
  const found = new Map<number, JudgedCharacteristic>()
  for (const { characteristic, conformity: judgement, counts } of values) {
    if (judgement === null || !counts) continue
    const { id, designator, name } = characteristic
    const before = found.get(id)
    const decision =
      before === undefined ? judgement.decision : strictest(before.decision, judgement.decision)
    found.set(id, { designator, name, decision })
  }
  return [...found.values()]
}

function groundsOf(values: readonly PartValue[], judgedCount: number): Sentence {
  if (judgedCount === 0) return []
  const counted = values.filter(({ counts, conformity: judgement }) => counts && judgement !== null)
  const unknown = counted.filter(({ conformity: judgement }) => judgement?.expanded === null).length
  const uncertainty =
    unknown === 0
      ? 'the uncertainty of the gauges is taken into account (ISO 14253-1)'
      : unknown === counted.length
        ? 'nothing is known of the uncertainty of the gauges, and values are taken as they stand'
        : `of ${countOf(unknown, 'value')} the gauge’s uncertainty is not known, and they are taken as they stand`
  return [{ text: `From ${countOf(counted.length, 'value')}; ${uncertainty}.` }]
}
