import { countOf } from '../words/format.ts'
import { type GaugeReading, studyTable } from './readings.ts'

/** A part that one inspector measured less often than most pairs were measured. */
export interface MissingReadings {
  readonly part: string
  readonly inspector: string
  readonly readings: number
  /** The most that any pair has. */
  readonly expected: number
}

/** Pairs of part and inspector with fewer readings than the most that any pair has, in the order of the readings. */
export function missingReadings(readings: readonly GaugeReading[]): MissingReadings[] {
  const { parts, inspectors, cells, trials } = studyTable(readings)
  if (trials !== null) return []
  const expected = Math.max(0, ...cells.map(({ moments }) => moments.n))
  const counts = new Map(cells.map(({ part, inspector, moments }) => [`${part} ${inspector}`, moments.n]))
  return parts.flatMap((part, i) =>
    inspectors.flatMap((inspector, j) => {
      const own = counts.get(`${i} ${j}`) ?? 0
      return own < expected ? [{ part, inspector, readings: own, expected }] : []
    }),
  )
}

/** Pairs that words name before the rest is counted. */
const NAMED = 6

/** Which readings are missing, in a sentence. */
export function missingWords(missing: readonly MissingReadings[]): string {
  const named = missing.slice(0, NAMED).map(({ part, inspector, readings, expected }) => {
    const by = inspector === '' ? '' : ` by ${inspector}`
    return `part ${part}${by} (${readings} of ${expected})`
  })
  const more = missing.length - named.length
  return `Measured less often than the rest: ${named.join(', ')}${more > 0 ? ` and ${countOf(more, 'more pair')}` : ''}. Nothing was filled in; the components allow for it.`
}
