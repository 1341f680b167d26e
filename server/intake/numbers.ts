import type { Delimiter } from './rows.ts'
import { splitUnit } from './units.ts'

export type DecimalMark = '.' | ','

/** A number with its thousands parted by spaces or apostrophes, which no decimal mark can be. */
const PARTED = /^([+-]?\d{1,3})(?:([ \u00a0\u2009\u202f'’])\d{3})(?:\2\d{3})*(?:[.,]\d*)?$/
/** A number whose thousands marks give themselves away by the other mark behind them, or by coming twice. */
const GROUPED_BY_COMMA = /^[+-]?\d{1,3}(?:(?:,\d{3})+\.\d*|(?:,\d{3}){2,})$/
const GROUPED_BY_POINT = /^[+-]?\d{1,3}(?:(?:\.\d{3})+,\d*|(?:\.\d{3}){2,})$/

/** Greatest size of a number that is taken for a measure. */
const LARGEST = 1e9

/**
 * Reads numbers as people and machines write them, strictly: nothing is taken for a number that another
 * reader could take for a different one. One decimal mark holds for the whole file.
 */
export class NumberReader {
  /** Null until a number with a mark has been met. */
  mark: DecimalMark | null
  readonly #delimiter: Delimiter
  /** True once a number has shown that the other mark parts thousands in this file. */
  #grouped: boolean
  #reason = ''

  /** @param grouped true where the file is known to part thousands with the mark that is not its decimal mark */
  constructor(delimiter: Delimiter, mark: DecimalMark | null, grouped = false) {
    this.#delimiter = delimiter
    this.mark = mark
    this.#grouped = grouped
  }

  /** Why the last text was not a number. */
  get reason(): string {
    return this.#reason
  }

  /** The number; NaN where the text is none, and then `reason` says why. The text has no spaces around it. */
  read(text: string): number {
    if (isPlain(text)) {
      const point = text.includes('.')
      if (!point || this.mark === '.') return this.#inRange(+text, text)
    }
    const decimal = this.readDecimal(text)
    return decimal === null ? Number.NaN : this.#inRange(Number(decimal), text)
  }

  /** The number as plain decimal text with a point, for exact arithmetic; null where the text is none. */
  readDecimal(text: string): string | null {
    const signed = this.#ungrouped(text.replace(/^[−–]/, '-'))
    const match = /^([+-]?)(\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE]([+-]?\d{1,3}))?$/.exec(signed)
    if (match === null) {
      this.#reason = describe(text)
      return null
    }
    const body = match[2] as string
    const mark = body.includes(',') ? ',' : body.includes('.') ? '.' : null
    if (mark !== null && !this.#accepts(mark, body)) return null
    return signed.replace(',', '.').replace(/^\+/, '')
  }

  /** The number without thousands marks, where it is certain that they are; the text as it is where not. */
  #ungrouped(text: string): string {
    if (text.length < 5) return text
    const parted = PARTED.exec(text)
    if (parted !== null) return text.replaceAll(parted[2] as string, '')
    for (const [pattern, mark, decimal] of [
      [GROUPED_BY_COMMA, ',', '.'],
      [GROUPED_BY_POINT, '.', ','],
    ] as const) {
      if (this.mark === mark) continue
      const certain = pattern.test(text)
      if (certain) this.#grouped = true
      const alone = this.#grouped && this.mark === decimal && couldBeThousands(text.replace(mark, ','))
      if (certain || alone) return text.replaceAll(mark, '')
    }
    return text
  }

  #accepts(mark: DecimalMark, body: string): boolean {
    if (this.mark === null) {
      // Between commas as delimiters, "1,234" is as likely one thousand as one and a bit.
      if (mark === ',' && this.#delimiter === ',' && couldBeThousands(body)) {
        this.#reason = `"${body}" could be ${body.replace(',', '')} or ${body.replace(',', '.')}. Write it with a decimal point and no thousands separator.`
        return false
      }
      this.mark = mark
    }
    if (this.mark === mark) return true
    this.#reason =
      this.mark === '.'
        ? `"${body}" has a comma, but the numbers of this file have decimal points. Write it with a point and no thousands separator.`
        : `"${body}" has a point, but the numbers of this file have decimal commas. Write it with a comma and no thousands separator.`
    return false
  }

  #inRange(value: number, text: string): number {
    if (Math.abs(value) > LARGEST) {
      this.#reason = `${text} is too large for a measure.`
      return Number.NaN
    }
    if (value === 0 && /[1-9]/.test(text.replace(/e.*$/i, ''))) {
      this.#reason = `${text} is too small to be told from zero.`
      return Number.NaN
    }
    return value === 0 ? 0 : value
  }
}

/** One to three digits, then groups of three behind commas. */
function couldBeThousands(body: string): boolean {
  return /^[+-]?[1-9]\d{0,2},\d{3}$/.test(body)
}

/** Digits with at most one point among them and a sign before them, which `Number` reads as meant. */
function isPlain(text: string): boolean {
  const length = text.length
  if (length === 0 || length > 17) return false
  let points = 0
  let digits = 0
  for (let i = 0; i < length; i++) {
    const code = text.charCodeAt(i)
    if (code >= 48 && code <= 57) digits++
    else if (code === 46) points++
    else if (code !== 45 || i > 0) return false
  }
  return digits > 0 && points <= 1
}

function describe(text: string): string {
  if (text === '') return 'A number is needed here and the field is empty.'
  if (/^[+-]?(nan|inf|infinity|#n\/a|n\/a|na)$/i.test(text)) {
    return `"${text}" is not a measured value. Leave the row out, or measure again.`
  }
  if (/^[+-]?[\d.,]+\s*[a-zµμ°"]+\.?$/i.test(text)) {
    return `"${text}" holds a number and a unit that is not known. Known are mm, in, um and deg.`
  }
  if (/^[+-]?\d[\d.,' \u00a0\u202f]*$/.test(text)) {
    return `"${text}" has more separators than a number can have. Write it without thousands separators.`
  }
  return `"${text}" is text where a number belongs.`
}

/**
 * The decimal mark that these fields, taken from columns of numbers, show; null where none shows one.
 */
export function findDecimalMark(fields: Iterable<string>, delimiter: Delimiter): DecimalMark | null {
  let commas = false
  for (const field of fields) {
    const text = bareNumber(field.trim())
    if (GROUPED_BY_COMMA.test(text)) return '.'
    if (GROUPED_BY_POINT.test(text)) return ','
    if (!/^[+-]?\d*[.,]\d*$/.test(text)) continue
    if (text.includes('.')) return '.'
    if (delimiter !== ',' || !couldBeThousands(text)) commas = true
  }
  return commas ? ',' : null
}

/** True where one of the fields shows that the mark which is not the decimal one parts thousands. */
export function findGrouping(fields: Iterable<string>): boolean {
  for (const field of fields) {
    const text = bareNumber(field.trim())
    if (GROUPED_BY_COMMA.test(text) || GROUPED_BY_POINT.test(text)) return true
  }
  return false
}

/** The number of a field without the unit behind it, and with a plain sign. */
function bareNumber(text: string): string {
  return (splitUnit(text)?.number ?? text).replace(/^[−–]/, '-')
}

/** True where the field holds a number, whatever its decimal mark, with a unit behind it or none. */
export function looksNumeric(field: string): boolean {
  const text = bareNumber(field.trim())
  if (text === '' || text.length > 40) return false
  return /^[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d{1,3})?$/.test(text) || isGrouped(text)
}

function isGrouped(text: string): boolean {
  return PARTED.test(text) || GROUPED_BY_COMMA.test(text) || GROUPED_BY_POINT.test(text)
}

/** The first number whose comma may be its decimal mark or part its thousands, where no other shows which. */
export function findAmbiguousNumber(fields: Iterable<string>, delimiter: Delimiter): string | null {
  if (delimiter !== ',') return null
  let doubtful: string | null = null
  for (const field of fields) {
    const text = bareNumber(field.trim())
    if (couldBeThousands(text)) doubtful ??= field.trim()
    else if (/[.,]\d/.test(text)) return null
  }
  return doubtful
}
