import type { WrittenUnit } from '../domain/characteristic.ts'
import { multiplyDecimals, negateDecimal } from '../numbers/decimal.ts'
import { convertWritten } from './convert-written.ts'
import type { Expectation } from './expectation.ts'

/** What a value probably was before a slip made it what it is. */
export interface Slip {
  readonly kind: 'unit' | 'decimal-point' | 'digits' | 'sign'
  /** Decimal text, in the unit of the characteristic. */
  readonly likely: string
  /** The slip in words, to follow "the value would fit …". */
  readonly words: string
  /** True where the value is off by so much that no process makes it. */
  readonly gross: boolean
}

const UNITS: readonly WrittenUnit[] = ['mm', 'in', 'um']
const POWERS = [
  ['10', 'one place to the left'],
  ['0.1', 'one place to the right'],
  ['100', 'two places to the left'],
  ['0.01', 'two places to the right'],
  ['1000', 'three places to the left'],
  ['0.001', 'three places to the right'],
] as const

/**
 * The slip that best explains a value where none is to be expected; null where none does.
 *
 * @param text the value in the unit of the characteristic, as decimal text
 * @param judged what a value is in the unit of what is expected, where that is another
 */
export function slipOf(
  text: string,
  unit: WrittenUnit,
  expected: Expectation,
  judged: (value: number) => number = (value) => value,
): Slip | null {
  const fits = (candidate: string) => {
    const value = judged(Number(candidate))
    return value >= expected.likelyLow && value <= expected.likelyHigh
  }
  const turned = negateDecimal(text)
  if (fits(turned) && Number(text) < 0) {
    return { kind: 'sign', likely: turned, words: 'without its minus sign', gross: true }
  }
  if (fits(turned)) return { kind: 'sign', likely: turned, words: 'with a minus sign', gross: true }
  if (unit !== 'deg') {
    for (const other of UNITS) {
      if (other === unit) continue
      const converted = convertWritten(text, other, unit)
      if (converted !== null && fits(converted)) {
        const likely = String(Number(Number(converted).toPrecision(9)))
        return { kind: 'unit', likely, words: `as ${other}`, gross: true }
      }
    }
  }
  for (const [factor, places] of POWERS) {
    const moved = multiplyDecimals(text, factor)
    if (fits(moved)) {
      return {
        kind: 'decimal-point',
        likely: moved,
        words: `with its decimal point, which may have slipped ${places}, put back`,
        gross: true,
      }
    }
  }
  const swapped = swaps(text).filter(fits)
  if (swapped.length === 0) return null
  const distance = (candidate: string) => Math.abs(judged(Number(candidate)) - expected.centre)
  const likely = swapped.reduce((best, each) => (distance(each) < distance(best) ? each : best))
  return { kind: 'digits', likely, words: 'with two neighbouring digits changed over', gross: false }
}

/** The number with each two neighbouring digits changed over, the decimal mark left where it is. */
function swaps(text: string): string[] {
  if (/[eE]/.test(text)) return []
  const places = [...text].flatMap((character, i) => (/\d/.test(character) ? [i] : []))
  const all: string[] = []
  for (let k = 0; k + 1 < places.length; k++) {
    const [i, j] = [places[k] as number, places[k + 1] as number]
    if (text[i] === text[j]) continue
    const characters = [...text]
    characters[i] = text[j] as string
    characters[j] = text[i] as string
    all.push(characters.join(''))
  }
  return all
}
