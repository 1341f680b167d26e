import { type CharacteristicKind, KINDS_WITH_FLOOR } from '../../src/domain/characteristic.ts'
import type { LimitSides } from '../../src/domain/own-limits.ts'
import type { Fault } from './faults.ts'
import { plainHeading } from './headings.ts'

/** What a file of characteristics says in its column for limits of the part's own, in the five languages. */
const SAID: ReadonlyMap<string, LimitSides | 'yes' | 'no'> = new Map<string, LimitSides | 'yes' | 'no'>([
  ...entries(
    'yes',
    'yes y ja j oui o si s true x 1 m mmc mmr lmc lmr bonus maximummaterial maximummaterialcondition maximumdematiere massimomateriale maximomaterial',
  ),
  ...entries('no', 'no n nein non false 0 none keine aucun nessuno ninguno rfs'),
  ...entries('upper', 'upper obere oben superieure superieur superiore superior max'),
  ...entries('lower', 'lower untere unten inferieure inferieur inferiore inferior min'),
  ...entries('both', 'both beide lesdeux deux entrambi ambos dos'),
])

function entries<T extends LimitSides | 'yes' | 'no'>(meaning: T, words: string): [string, T][] {
  return words.split(' ').map((word) => [word, meaning])
}

/**
 * Which limits each part brings, as a row that defines a characteristic says. A plain yes means the upper one for
 * deviations of form and place, else those that the row states; both where it states none.
 */
export function readSides(
  text: string,
  kind: CharacteristicKind,
  { lower, upper }: { readonly lower: number | null; readonly upper: number | null },
): LimitSides | null | Fault {
  if (text === '' || text === '-') return null
  const said = SAID.get(plainHeading(text.replace(/[ⓂⓁ]/g, 'm')))
  if (said === undefined) {
    return {
      meaning: 'ownLimits',
      value: text,
      reason: 'Whether each part has limits of its own is said by yes, no, upper, lower or both.',
    }
  }
  if (said === 'no') return null
  if (KINDS_WITH_FLOOR.has(kind) && said !== 'lower') return 'upper'
  if (said !== 'yes') return said
  if (lower === null && upper === null) return 'both'
  return lower === null ? 'upper' : upper === null ? 'lower' : 'both'
}
