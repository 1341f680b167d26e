import { OWN_LIMIT_WORDS } from './vocabulary.ts'

/** A heading whose column holds a limit of the part's own, or the bonus that makes one. */
export interface OwnLimitHeading {
  readonly meaning: 'ownUpper' | 'ownLower' | 'bonus'
  /**
   * What else the heading says, as it is compared: the characteristic or part that it belongs to; empty where nothing.
   */
  readonly of: string
}

const LOWER = words([
  'lower',
  'lsl',
  'min',
  'minimum',
  'untere',
  'unterer',
  'inferieure',
  'inferieur',
  'inferiore',
  'inferior',
])
const UPPER = words([
  'upper',
  'usl',
  'max',
  'maximum',
  'obere',
  'oberer',
  'superieure',
  'superieur',
  'superiore',
  'superior',
])
const BONUS = words(OWN_LIMIT_WORDS.bonus)
const MATERIAL = words(OWN_LIMIT_WORDS.material)
const OF_THE_PART = words(OWN_LIMIT_WORDS.ofThePart)
const INCLUDING = words(OWN_LIMIT_WORDS.including)
const LIMIT = words(OWN_LIMIT_WORDS.limit)
const FILLERS = words([
  'the',
  'at',
  'of',
  'bei',
  'der',
  'des',
  'die',
  'au',
  'a',
  'la',
  'le',
  'de',
  'du',
  'di',
  'al',
  'el',
  'condition',
  'bedingung',
])
/** Units in brackets behind the words. */
const UNIT = /[([]\s*(mm|in|inch|um|µm|μm|zoll)\s*[)\]]\s*$/i

/**
 * What a heading says of limits of a part's own; null where it says nothing of them. "MMC" alone does not: it may head
 * the size at maximum material as well as the limit, and which of them nobody should guess.
 */
export function ownLimitHeading(heading: string): OwnLimitHeading | null {
  // Nearly every heading holds none of these letters.
  if (
    !/bonus|m[mr][bcr]|lm[bcr]|mat[ei]|maté|Ⓜ|Ⓛ|own|individu|teil|part|pi[eè][cz]|pezzo|propr|propi|eigen/i.test(
      heading,
    )
  )
    return null
  const { material, bonus, ofThePart, including, lower, upper, limit, rest: of } = takenApart(heading)
  if (!material && !bonus && !ofThePart) return null
  if (bonus && !including) return { meaning: 'bonus', of }
  // Words like "part" are too common to mean anything without "limit", and alone they name the serial number.
  if (!limit && !lower && !upper) return null
  return { meaning: lower && !upper ? 'ownLower' : 'ownUpper', of }
}

/** The name of a column of values as `of` has it, to compare them. */
export function comparedName(name: string): string {
  return takenApart(name).rest
}

/** Which words of limits a heading holds, and what else it says. */
function takenApart(heading: string) {
  let rest = ` ${plainWords(heading)} `
  const take = (pattern: RegExp): boolean => {
    const before = rest
    rest = rest.replace(pattern, ' ')
    return rest !== before
  }
  const found = {
    material: take(MATERIAL),
    bonus: take(BONUS),
    ofThePart: take(OF_THE_PART),
    including: take(INCLUDING),
    lower: take(LOWER),
    upper: take(UPPER),
    limit: take(LIMIT),
  }
  take(FILLERS)
  return { ...found, rest: rest.trim().replace(/\s+/g, ' ') }
}

function plainWords(text: string): string {
  return text
    .replace(UNIT, '')
    .replace(/[ⓂⓁ]/g, ' mmc ')
    .normalize('NFKD')
    .toLowerCase()
    .replace(/\p{Mark}/gu, '')
    .replaceAll('ß', 'ss')
    .replace(/\.(?!\d)|(?<!\d)\./g, ' ')
    .replace(/[^\p{Letter}\p{Number}.]+/gu, ' ')
    .trim()
}

/** Any of the phrases as whole words, one after another, the longest first. */
function words(phrases: readonly string[]): RegExp {
  const longestFirst = [...phrases].sort((a, b) => b.length - a.length)
  return new RegExp(`(?<= )(${longestFirst.join('|')})(?= )`, 'g')
}
