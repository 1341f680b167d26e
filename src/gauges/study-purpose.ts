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
  const onePart = new Set(readings.map(({ part }) => part)).size === 1
  if (
    onePart &&
    readings.every(({ measuredAt }) => measuredAt !== null) &&
    occasionsOf(readings).length > 1
  ) {
    return 'check part'
  }
  return 'spread'
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
