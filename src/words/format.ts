import { type Characteristic, OWN_TOLERANCE } from '../domain/characteristic.ts'

/**
 * A number with the given decimals and a true minus sign (U+2212), so that figures line up and wrap as one. What stands
 * exactly halfway as a decimal, as 1.005 does to two decimals, is rounded away from zero (ISO 80000-1, rule B for
 * rounding; from memory), whichever side its binary fraction happens to lie on.
 */
export function formatNumber(value: number, decimals: number): string {
  const size = Math.abs(value)
  const text = (decimalsOf(size) === decimals + 1 ? awayFromHalf(size) : size).toFixed(decimals)
  const zero = Number(text) === 0
  return value < 0 && !zero ? `−${text}` : text
}

/** As `formatNumber`, with a sign in front of positive values too. */
export function formatSigned(value: number, decimals: number): string {
  const text = formatNumber(value, decimals)
  return text.startsWith('−') || Number(text) === 0 ? text : `+${text}`
}

const WORDS = [
  'no', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine', 'ten', 'eleven', 'twelve',
  'thirteen', 'fourteen', 'fifteen', 'sixteen', 'seventeen', 'eighteen', 'nineteen', 'twenty',
] // biome-ignore format: one line of words reads better than twenty-one lines

/** A count as it stands in a sentence: in words up to twenty, in figures with thousands marks beyond. */
export function countWord(count: number): string {
  return WORDS[count] ?? formatCount(count)
}

/** A count in figures with a comma at the thousands: 1,536. */
export function formatCount(count: number): string {
  return String(count).replace(/\B(?=(\d{3})+$)/g, ',')
}

/** The sentence with its first letter in upper case. */
export function capitalise(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1)
}

/** "a", "a and b", "a, b and c". */
export function listed(items: readonly string[]): string {
  return items.length < 2 ? items.join() : `${items.slice(0, -1).join(', ')} and ${items.at(-1)}`
}

/** What a characteristic is called in a sentence: number and name, or the number alone where it has no other name. */
export function characteristicTitle({
  designator,
  name,
}: Pick<Characteristic, 'designator' | 'name'>): string {
  return name === designator || name === '' ? designator : `${designator} ${name}`
}

/** A count with its noun, in words up to twenty: "one build", "25 builds". */
export function countOf(count: number, noun: string): string {
  return `${countWord(count)} ${noun}${count === 1 ? '' : 's'}`
}

/** A span of builds at the head of a sentence: "Builds 0400 to 0459", "Build 0441". */
export function buildSpan(first: string, last: string): string {
  return first === last ? `Build ${first}` : `Builds ${first} to ${last}`
}

/** Decimals that the drawing states a characteristic to: the most of nominal and limits. */
export function drawingDecimals(characteristic: Characteristic): number {
  // Limits of a part's own are 1, which says nothing of how finely they are stated: hundredths of them do.
  if (characteristic.unit === OWN_TOLERANCE) return 2
  const stated = [characteristic.nominal, characteristic.lower, characteristic.upper]
  return Math.max(0, ...stated.map((value) => (value === null ? 0 : decimalsOf(value))))
}

/** Decimals for single values of a characteristic: one more than the drawing, at least three for millimetres. */
export function valueDecimals(characteristic: Characteristic): number {
  const { unit } = characteristic
  const least = unit === 'mm' || unit === OWN_TOLERANCE ? 3 : unit === 'in' ? 4 : 1
  return Math.max(least, drawingDecimals(characteristic) + 1)
}

/** Decimals for means, limits and sigmas of a characteristic: one more than single values have. */
export function meanDecimals(characteristic: Characteristic): number {
  return valueDecimals(characteristic) + 1
}

function decimalsOf(value: number): number {
  const [mantissa = '', exponent = '0'] = String(value).split('e')
  const point = mantissa.indexOf('.')
  const own = point === -1 ? 0 : mantissa.length - point - 1
  return Math.max(0, own - Number(exponent))
}

/** A number whose last decimal is 5, by a tenth of that decimal's unit larger; others as they are. */
function awayFromHalf(value: number): number {
  const [mantissa = '', exponent] = String(value).split('e')
  if (!mantissa.endsWith('5')) return value
  return Number(
    `${mantissa}${mantissa.includes('.') ? '' : '.'}1${exponent === undefined ? '' : `e${exponent}`}`,
  )
}
