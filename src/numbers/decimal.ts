import { ArgumentError } from '../errors.ts'

/**
 * Exact arithmetic on numbers as they were written. A limit of 25.4 − 0.1 is 25.3, where binary floating
 * point makes it 25.299999999999997, and one of 1.1 + 2.2 is 3.3, where it makes it 3.3000000000000003: a part at
 * exactly the limit has to conform, and one beyond it must not.
 * Numbers go in and come out as text: an optional sign, digits with at most one point, an optional exponent.
 */

/** coefficient · 10^exponent */
interface Decimal {
  readonly coefficient: bigint
  readonly exponent: number
}

const WRITTEN = /^([+-]?)(\d*)(?:\.(\d*))?(?:[eE]([+-]?\d{1,4}))?$/

/** The exact sum of two decimals, as text. @throws ArgumentError where one is not a decimal number */
export function addDecimals(a: string, b: string): string {
  const x = parse('a', a)
  const y = parse('b', b)
  const exponent = Math.min(x.exponent, y.exponent)
  return format({ coefficient: scaled(x, exponent) + scaled(y, exponent), exponent })
}

/** The exact product of two decimals, as text. @throws ArgumentError where one is not a decimal number */
export function multiplyDecimals(a: string, b: string): string {
  const x = parse('a', a)
  const y = parse('b', b)
  return format({ coefficient: x.coefficient * y.coefficient, exponent: x.exponent + y.exponent })
}

/**
 * The quotient of two decimals cut off after `digits` significant digits, as text; exact where it ends sooner.
 *
 * @throws ArgumentError where one is not a decimal number or `b` is zero
 */
export function divideDecimals(a: string, b: string, digits: number): string {
  const x = parse('a', a)
  const y = parse('b', b)
  if (y.coefficient === 0n) throw new ArgumentError('b', 'is zero')
  const lead = Math.max(0, digits + String(y.coefficient).length - String(x.coefficient).length + 1)
  return format({
    coefficient: (x.coefficient * 10n ** BigInt(lead)) / y.coefficient,
    exponent: x.exponent - y.exponent - lead,
  })
}

/** The same number with the other sign. @throws ArgumentError where it is not a decimal number */
export function negateDecimal(a: string): string {
  const x = parse('a', a)
  return format({ coefficient: -x.coefficient, exponent: x.exponent })
}

function parse(argument: string, text: string): Decimal {
  const match = WRITTEN.exec(text)
  const whole = match?.[2] ?? ''
  const fraction = match?.[3] ?? ''
  if (match === null || whole + fraction === '') {
    throw new ArgumentError(argument, `"${text}" is not a decimal number`)
  }
  const magnitude = BigInt(whole + fraction)
  return {
    coefficient: match[1] === '-' ? -magnitude : magnitude,
    exponent: Number(match[4] ?? 0) - fraction.length,
  }
}

function scaled(x: Decimal, exponent: number): bigint {
  return x.coefficient * 10n ** BigInt(x.exponent - exponent)
}

/** Plain digits, without trailing zeros behind the point. */
function format({ coefficient, exponent }: Decimal): string {
  if (coefficient === 0n) return '0'
  const sign = coefficient < 0n ? '-' : ''
  const digits = String(coefficient < 0n ? -coefficient : coefficient)
  if (exponent >= 0) return sign + digits + '0'.repeat(exponent)
  const padded = digits.padStart(1 - exponent, '0')
  const whole = padded.slice(0, exponent)
  const fraction = padded.slice(exponent).replace(/0+$/, '')
  return sign + whole + (fraction === '' ? '' : `.${fraction}`)
}
