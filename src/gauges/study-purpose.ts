import type { GaugeReading } from './readings.ts'

/** A reading with all that a file may say of it. */
export interface StudyReading extends GaugeReading {
  /** From 1 upwards; null where the file does not count them. */
  readonly trial: number | null
  /** Name of the gauge; null where it is not known. */
  readonly gauge: string | null
  /** Known value of the part, in the unit of the reading. */
  readonly reference: number | null
  /** Seconds since 1970-01-01 UTC. */
  readonly measuredAt: number | null
}

/**
 * What readings are for. spread: parts measured again and again, by one or several inspectors. known parts: parts whose
 * values are known. check part: one part measured on several occasions. two gauges: the same parts on two gauges.
 */
export type StudyPurpose = 'spread' | 'known parts' | 'check part' | 'two gauges'

/**
 * What a study is for, as its readings show: known values come first, then two gauges that share two parts or more, then
 * one part with the time of every reading on two days or more.
 */
export function studyPurpose(readings: readonly StudyReading[]): StudyPurpose {
  if (readings.length > 0 && readings.every(({ reference }) => reference !== null)) return 'known parts'
  if (sharedParts(readings) >= 2) return 'two gauges'
  return isOnePartTimed(readings) && occasionsOf(readings).length > 1 ? 'check part' : 'spread'
}

/** Whether readings are of one part, each with its time. */
function isOnePartTimed(readings: readonly StudyReading[]): boolean {
  return (
    new Set(readings.map(({ part }) => part)).size === 1 &&
    readings.every(({ measuredAt }) => measuredAt !== null)
  )
}

/** A study beside others that may go on with the same check part. */
export interface StudyAmongOthers {
  readonly characteristicId: number | null
  readonly readings: readonly StudyReading[]
}

/**
 * What each of the studies is for, all of them in sight: a check part may come day by day, each day in a file of its own,
 * and one day alone looks like any other reading of one part. So a part that one named gauge measured by itself, for the
 * same characteristic, on two days or more over all files is a check part in each of them.
 */
export function studyPurposes(studies: readonly StudyAmongOthers[]): StudyPurpose[] {
  const series = new Map<string, StudyReading[]>()
  const keys = studies.map(({ characteristicId, readings }) => {
    const gauges = new Set(readings.map(({ gauge }) => gauge))
    const [gauge] = gauges
    if (gauges.size !== 1 || gauge === null || studyPurpose(readings) === 'known parts') return null
    if (!isOnePartTimed(readings)) return null
    const key = JSON.stringify([characteristicId, gauge, readings[0]?.part])
    series.set(key, [...(series.get(key) ?? []), ...readings])
    return key
  })
  return studies.map(({ readings }, i) => {
    const key = keys[i] ?? null
    return key === null ? studyPurpose(readings) : studyPurpose(series.get(key) as StudyReading[])
  })
}

/** Parts that both of two gauges measured; 0 where there are not exactly two. */
export function sharedParts(readings: readonly Pick<StudyReading, 'part' | 'gauge'>[]): number {
  const byGauge = new Map<string | null, Set<string>>()
  for (const { gauge, part } of readings) {
    const parts = byGauge.get(gauge)
    if (parts === undefined) byGauge.set(gauge, new Set([part]))
    else parts.add(part)
  }
  const [first, second] = [...byGauge.values()]
  if (first === undefined || second === undefined || byGauge.size > 2 || byGauge.has(null)) return 0
  return [...first].filter((part) => second.has(part)).length
}

/** Readings of one day, in the order of time. */
export interface Occasion<T> {
  /** As YYYY-MM-DD, in UTC. */
  readonly day: string
  readonly readings: readonly T[]
}

/** The days on which readings were taken, in the order of time; readings without a time are left out. */
export function occasionsOf<T extends Pick<StudyReading, 'measuredAt'>>(
  readings: readonly T[],
): Occasion<T>[] {
  const days = new Map<string, T[]>()
  const timed = readings
    .filter(({ measuredAt }) => measuredAt !== null)
    .sort((a, b) => (a.measuredAt as number) - (b.measuredAt as number))
  for (const reading of timed) {
    const day = new Date((reading.measuredAt as number) * 1000).toISOString().slice(0, 10)
    const known = days.get(day)
    if (known === undefined) days.set(day, [reading])
    else known.push(reading)
  }
  return [...days].map(([day, own]) => ({ day, readings: own }))
}
