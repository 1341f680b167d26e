import { type StudyPurpose, type StudyReading, studyPurposes } from '../../src/gauges/study-purpose.ts'
import type { GaugeEntry, RegisteredGauge } from './gauge-register.ts'
import type { CharacteristicOnDrawing, GaugePlan, GaugeStudyRecord } from './gauge-studies.ts'
import { kept } from './kept.ts'
import type { Store } from './store.ts'

/** A reading with its line in the file. */
export interface ReadingOnRecord extends StudyReading {
  readonly line: number
}

/** A study with its readings and what they are for. */
export interface GaugeStudyOnRecord {
  readonly record: GaugeStudyRecord
  readonly on: CharacteristicOnDrawing | null
  readonly purpose: StudyPurpose
  /** Names of its gauges: none, one, or two that are compared. */
  readonly gauges: readonly string[]
  readonly readings: readonly ReadingOnRecord[]
}

/** All that is on record about gauges. */
export interface GaugesOnRecord {
  /** In order of their identities. */
  readonly gauges: readonly RegisteredGauge[]
  /** In the order in which they came. */
  readonly studies: readonly GaugeStudyOnRecord[]
  readonly plans: readonly GaugePlan[]
  /** By identity. */
  readonly characteristics: ReadonlyMap<number, CharacteristicOnDrawing>
}

export function gaugesOnRecord(store: Store): Promise<GaugesOnRecord> {
  return kept(store, 'gauges on record', async () => {
    const [gauges, records, plans, drawn] = await Promise.all([
      store.gauges(),
      store.gaugeStudies(),
      store.gaugePlans(),
      store.characteristicsOnDrawings(),
    ])
    const characteristics = new Map(drawn.map((each) => [each.characteristic.id, each]))
    const names = new Map(gauges.map(({ id, name }) => [id, name]))
    const readings = new Map<number, ReadingOnRecord[]>()
    for (const { studyId, gaugeId, ...rest } of await store.gaugeReadings(records.map(({ id }) => id))) {
      const reading = { ...rest, gauge: gaugeId === null ? null : (names.get(gaugeId) ?? null) }
      const known = readings.get(studyId)
      if (known === undefined) readings.set(studyId, [reading])
      else known.push(reading)
    }
    const purposes = studyPurposes(
      records.map(({ id, characteristicId }) => ({ characteristicId, readings: readings.get(id) ?? [] })),
    )
    const studies = records.map((record, i) => {
      const own = readings.get(record.id) ?? []
      const { characteristicId } = record
      return {
        record,
        on: characteristicId === null ? null : (characteristics.get(characteristicId) ?? null),
        purpose: purposes[i] as StudyPurpose,
        gauges: [...new Set(own.flatMap(({ gauge }) => (gauge === null ? [] : [gauge])))],
        readings: own,
      }
    })
    return { gauges, studies, plans, characteristics }
  })
}

/**
 * The studies of check parts among these, those of one part, characteristic and gauge together, in the order in which
 * they came.
 */
export function checkPartSeries(studies: readonly GaugeStudyOnRecord[]): GaugeStudyOnRecord[][] {
  const series = new Map<string, GaugeStudyOnRecord[]>()
  for (const study of studies) {
    if (study.purpose !== 'check part') continue
    const key = JSON.stringify([study.on?.characteristic.id, study.gauges, study.readings[0]?.part])
    series.set(key, [...(series.get(key) ?? []), study])
  }
  return [...series.values()]
}

/** What was last said of a gauge; null where it is only named in files. */
export function latestEntry({ entries }: RegisteredGauge): GaugeEntry | null {
  return entries.at(-1) ?? null
}

/** Today's date as YYYY-MM-DD, in UTC, by which a gauge is due. */
export function today(): string {
  return new Date().toISOString().slice(0, 10)
}
