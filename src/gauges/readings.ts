import { type Moments, momentsOf } from '../description/moments.ts'
import { ArgumentError } from '../errors.ts'

/** One reading of a gauge study. */
export interface GaugeReading {
  readonly part: string
  /** Who measured; the same for all where a machine measures without anyone's influence. */
  readonly inspector: string
  /** In the characteristic's unit. */
  readonly value: number
}

/** All readings of one part by one inspector. */
export interface StudyCell {
  /** Place in `StudyTable.parts`. */
  readonly part: number
  /** Place in `StudyTable.inspectors`. */
  readonly inspector: number
  readonly moments: Moments
  /** In the order taken. */
  readonly values: readonly number[]
}

/** The readings sorted into parts and inspectors, both in the order in which they first appear. */
export interface StudyTable {
  readonly parts: readonly string[]
  readonly inspectors: readonly string[]
  /** Pairs that were measured, by part, then inspector. */
  readonly cells: readonly StudyCell[]
  /** Readings. */
  readonly n: number
  /** Readings in every cell where each part was measured by each inspector equally often, else null. */
  readonly trials: number | null
}

/** @throws ArgumentError where a value is not finite */
export function studyTable(readings: readonly GaugeReading[]): StudyTable {
  const parts = [...new Set(readings.map(({ part }) => part))]
  const inspectors = [...new Set(readings.map(({ inspector }) => inspector))]
  const partAt = new Map(parts.map((part, i) => [part, i]))
  const inspectorAt = new Map(inspectors.map((inspector, j) => [inspector, j]))
  const values = new Map<number, number[]>()
  for (const [i, reading] of readings.entries()) {
    if (!Number.isFinite(reading.value)) {
      throw new ArgumentError('readings', `reading ${i + 1} of ${readings.length} is not finite`)
    }
    const place =
      (partAt.get(reading.part) as number) * inspectors.length +
      (inspectorAt.get(reading.inspector) as number)
    const known = values.get(place)
    if (known === undefined) values.set(place, [reading.value])
    else known.push(reading.value)
  }
  const cells = [...values]
    .sort(([a], [b]) => a - b)
    .map(([place, of]) => ({
      part: Math.floor(place / inspectors.length),
      inspector: place % inspectors.length,
      moments: momentsOf(of),
      values: of,
    }))
  const first = cells[0]?.moments.n ?? null
  const complete =
    cells.length === parts.length * inspectors.length && cells.every(({ moments }) => moments.n === first)
  return { parts, inspectors, cells, n: readings.length, trials: complete ? first : null }
}

/**
 * In how many sets the parts and inspectors fall that share no reading with one another: 1 where every pair is linked
 * by some chain of readings.
 */
export function separateSets({ parts, inspectors, cells }: StudyTable): number {
  const root = Int32Array.from({ length: parts.length + inspectors.length }, (_, i) => i)
  const find = (i: number): number => {
    let at = i
    while (root[at] !== at) at = root[at] as number
    return at
  }
  let sets = root.length
  for (const { part, inspector } of cells) {
    const a = find(part)
    const b = find(parts.length + inspector)
    if (a === b) continue
    root[a] = b
    sets--
  }
  return sets
}
