import type { Characteristic } from '../domain/characteristic.ts'
import { characteristicTitle, countOf } from '../words/format.ts'
import type { Sentence } from '../words/sentence.ts'

/** When a drift reaches a limit of specification, counted from the last build on record. */
export interface BuildsAhead {
  readonly side: 'lower' | 'upper'
  readonly inBuilds: number | null
  readonly earliest: number | null
  readonly latest: number | null
  readonly reached: boolean
}

/** "Should it go on, 4 boss spacing reaches its lower limit in about 14 builds (9 to 31)." */
export function forecastWords(
  characteristic: Pick<Characteristic, 'designator' | 'name'>,
  { side, inBuilds, earliest, latest, reached }: BuildsAhead,
): Sentence {
  const title = characteristicTitle(characteristic)
  if (reached) {
    return [
      {
        text: `By its line the mean of ${title} is beyond its ${side} limit of specification already.`,
        role: 'mark',
      },
    ]
  }
  if (inBuilds === null) return []
  const from = earliest === null ? 'now' : String(Math.floor(earliest))
  const to = latest === null ? 'no end in sight' : String(Math.ceil(latest))
  return [
    {
      text: `Should it go on, the mean of ${title} reaches its ${side} limit of specification in about ${countOf(Math.round(inBuilds), 'build')} (${from} to ${to}, 95 %).`,
    },
  ]
}
