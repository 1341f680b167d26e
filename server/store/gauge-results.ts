import { biasStudy } from '../../src/gauges/bias.ts'
import { type GaugeJudgement, gaugeJudgement } from '../../src/gauges/gauge-judgement.ts'
import { gaugeUncertainty } from '../../src/gauges/gauge-uncertainty.ts'
import type { GaugeStudy, StudyFigure } from '../../src/gauges/study-model.ts'
import type { MeasurementUncertainty } from '../../src/gauges/uncertainty.ts'
import { analysed } from './gauge-analysis.ts'
import type { CharacteristicOnDrawing } from './gauge-studies.ts'
import {
  type GaugeStudyOnRecord,
  type GaugesOnRecord,
  gaugesOnRecord,
  latestEntry,
} from './gauges-on-record.ts'
import { kept } from './kept.ts'
import type { Store } from './store.ts'

/** What is known of one gauge for one characteristic, all in the unit of the characteristic. */
export interface GaugeResult {
  readonly characteristicId: number
  /** Null where the study does not name its gauge. */
  readonly gauge: string | null
  /** The newest study that tells the gauge's spread; null where only the register speaks. */
  readonly studyId: number | null
  /** Seconds since 1970-01-01 UTC at which that study was taken in. */
  readonly studiedAt: number | null
  readonly study: GaugeStudy | null
  /** Standard deviation of measuring, repeated readings and inspectors together, with its limits. */
  readonly gaugeSd: StudyFigure | null
  readonly judgement: GaugeJudgement | null
  /** Mean deviation from known values in the newest study of them; null where there is none. */
  readonly bias: number | null
  readonly uncertainty: MeasurementUncertainty | null
}

export interface GaugeResults {
  /**
   * What holds for values of a characteristic: the newest study of its spread, whatever the gauge; without one the
   * registered gauge of the greatest uncertainty. Null where nothing is known.
   */
  of(characteristicId: number): GaugeResult | null
  /** What is known of one gauge for it; what holds for the characteristic where nothing is known of that gauge. */
  by(characteristicId: number, gauge: string | null): GaugeResult | null
  /** All of one characteristic, gauge by gauge, the newest study last. */
  all(characteristicId: number): readonly GaugeResult[]
}

/** What gauges are known to do, for every characteristic on record. */
export function gaugeResults(store: Store): Promise<GaugeResults> {
  return kept(store, 'gauge results', async () => {
    const record = await gaugesOnRecord(store)
    const results = new Map<number, GaugeResult[]>()
    for (const [id, on] of record.characteristics) {
      const own = await resultsFor(store, record, on)
      if (own.length > 0) results.set(id, own)
    }
    const all = (characteristicId: number) => results.get(characteristicId) ?? []
    const of = (characteristicId: number) => holding(all(characteristicId))
    return {
      all,
      of,
      by: (characteristicId, gauge) =>
        (gauge === null ? null : all(characteristicId).find((each) => each.gauge === gauge)) ??
        of(characteristicId),
    }
  })
}

function holding(results: readonly GaugeResult[]): GaugeResult | null {
  const studied = results.findLast(({ gaugeSd }) => gaugeSd !== null)
  if (studied !== undefined) return studied
  const certified = results.filter(({ uncertainty }) => uncertainty !== null)
  return certified.reduce<GaugeResult | null>(
    (worst, each) =>
      worst === null || (each.uncertainty?.standard ?? 0) > (worst.uncertainty?.standard ?? 0) ? each : worst,
    null,
  )
}

function resultsFor(
  store: Store,
  record: GaugesOnRecord,
  on: CharacteristicOnDrawing,
): Promise<GaugeResult[]> {
  const { id } = on.characteristic
  const studies = record.studies.filter((study) => study.on?.characteristic.id === id)
  const registered = record.gauges.filter((gauge) => {
    const entry = latestEntry(gauge)
    return entry?.inUse === true && entry.characteristicIds.includes(id)
  })
  // Gauges of the register first, then those that studies name, in the order of their newest study.
  const names = new Set<string | null>(registered.map(({ name }) => name))
  for (const { gauges, purpose } of studies) {
    if (purpose === 'two gauges') continue
    const name = gauges[0] ?? null
    names.delete(name)
    names.add(name)
  }
  return Promise.all([...names].map((name) => resultOf(store, record, on, studies, name)))
}

async function resultOf(
  store: Store,
  record: GaugesOnRecord,
  { characteristic }: CharacteristicOnDrawing,
  studies: readonly GaugeStudyOnRecord[],
  name: string | null,
): Promise<GaugeResult> {
  const own = studies.filter(({ gauges }) => gauges.length < 2 && (gauges[0] ?? null) === name)
  let found: { readonly of: GaugeStudyOnRecord; readonly study: GaugeStudy } | null = null
  for (const of of own.toReversed()) {
    if (of.purpose !== 'spread') continue
    const study = await analysed(store, of)
    if (study.components.gauge === null) continue
    found = { of, study }
    break
  }
  const known = own.findLast(({ purpose }) => purpose === 'known parts')
  const bias = known === undefined ? null : meanBias(known)
  const gauge = record.gauges.find((each) => each.name === name)
  const facts = gauge === undefined ? null : latestEntry(gauge)
  const spread = found === null ? null : { study: found.study, readings: found.of.readings }
  return {
    characteristicId: characteristic.id,
    gauge: name,
    studyId: found?.of.record.id ?? null,
    studiedAt: found?.of.record.at ?? null,
    study: found?.study ?? null,
    gaugeSd: found?.study.components.gauge?.sd ?? null,
    judgement: found === null ? null : gaugeJudgement(found.study),
    bias,
    uncertainty: gaugeUncertainty(facts, { spread, bias }, characteristic.unit),
  }
}

/** Mean deviation from known values, each known part counting alike. */
function meanBias({ readings }: GaugeStudyOnRecord): number {
  const { parts } = biasStudy(
    readings.map(({ reference, value }) => ({ reference: reference as number, value })),
    0.95,
  )
  return parts.reduce((sum, { bias }) => sum + bias, 0) / parts.length
}
