/** Order of day and month in dates such as 3/12/2026. */
export type DateOrder = 'day-month' | 'month-day'

/** Beginnings of the months' names in English, German, French, Italian and Spanish, without accents. */
const MONTHS: readonly (readonly string[])[] = [
  ['jan', 'jaen', 'gen', 'ene'],
  ['feb', 'fev'],
  ['mar', 'mae', 'mrz'],
  ['apr', 'avr', 'abr'],
  ['may', 'mai', 'mag'],
  ['jun', 'juin', 'giu'],
  ['jul', 'juil', 'lug'],
  ['aug', 'aou', 'ago'],
  ['sep', 'set'],
  ['oct', 'okt', 'ott'],
  ['nov'],
  ['dec', 'dez', 'dic'],
]

/** Number of the month that the word names, from 1; 0 where it names none. */
function monthNamed(word: string): number {
  const plain = word
    .toLowerCase()
    .normalize('NFD')
    .replace(/\p{Mark}/gu, '')
  return MONTHS.findIndex((beginnings) => beginnings.some((beginning) => plain.startsWith(beginning))) + 1
}

const TIME = String.raw`(?:[T ,]+(\d{1,2}):(\d{2})(?::(\d{2})(?:[.,]\d+)?)?\s*([ap]\.?m\.?)?\s*(Z|UTC|[+-]\d{2}:?\d{2})?)?`
const YEAR_FIRST = new RegExp(String.raw`^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})${TIME}$`, 'i')
const COMPACT = /^(\d{4})(\d{2})(\d{2})(?:[T ](\d{2}):?(\d{2})(?::?(\d{2}))?()(Z)?)?$/
const DOTTED = new RegExp(String.raw`^(\d{1,2})\.\s?(\d{1,2})\.\s?(\d{4}|\d{2})${TIME}$`, 'i')
const SLASHED = new RegExp(String.raw`^(\d{1,2})[/-](\d{1,2})[/-](\d{4})${TIME}$`, 'i')
const SLASHED_SHORT = new RegExp(String.raw`^(\d{1,2})/(\d{1,2})/(\d{2})${TIME}$`, 'i')
const NAMED = new RegExp(String.raw`^(\d{1,2})[ .-]+(\p{Letter}{3,})[ .,-]+(\d{4})${TIME}$`, 'iu')
const MONTH_FIRST = new RegExp(String.raw`^(\p{Letter}{3,})\.?\s+(\d{1,2}),?\s+(\d{4})${TIME}$`, 'iu')

/** A matched group, or a number already made of it. */
type Part = string | number | undefined

/**
 * Reads dates and times. A time without a zone is kept as it was written, as if it were UTC: the shop's own
 * clock, the same for all its files.
 */
export class TimeReader {
  readonly #order: DateOrder | null
  #lastText = ''
  #lastTime = Number.NaN
  #reason = ''

  constructor(order: DateOrder | null) {
    this.#order = order
  }

  /** Why the last text was not a time. */
  get reason(): string {
    return this.#reason
  }

  /** Seconds since 1970-01-01 UTC; NaN where the text is no time, and then `reason` says why. */
  read(text: string): number {
    if (text === this.#lastText) return this.#lastTime
    const time = this.#read(text)
    this.#lastText = text
    this.#lastTime = time
    return time
  }

  #read(text: string): number {
    let match = YEAR_FIRST.exec(text)
    if (match !== null) return this.#time(text, match[1], match[2], match[3], match)
    match = DOTTED.exec(text)
    if (match !== null) return this.#time(text, match[3], match[2], match[1], match)
    match = NAMED.exec(text)
    if (match !== null) return this.#time(text, match[3], monthNamed(match[2] as string), match[1], match)
    match = MONTH_FIRST.exec(text)
    if (match !== null) return this.#time(text, match[3], monthNamed(match[1] as string), match[2], match)
    match = COMPACT.exec(text)
    if (match !== null) return this.#time(text, match[1], match[2], match[3], match)
    match = SLASHED.exec(text) ?? SLASHED_SHORT.exec(text)
    if (match !== null) {
      const [first, second] = [Number(match[1]), Number(match[2])]
      const order = this.#order ?? (first > 12 ? 'day-month' : second > 12 ? 'month-day' : null)
      if (order === null && first !== second) {
        return this.#refuse(
          `"${text}" could be day/month or month/day. Write dates as year-month-day, for example ${match[3]}-03-31.`,
        )
      }
      return order === 'month-day'
        ? this.#time(text, match[3], first, second, match)
        : this.#time(text, match[3], second, first, match)
    }
    return this.#refuse(
      `"${text}" is not a date this program can read. Write it as year-month-day with hours and minutes, for example 2026-03-31 14:05.`,
    )
  }

  #time(text: string, yearText: Part, monthText: Part, dayText: Part, match: RegExpExecArray): number {
    const [written, month, day] = [Number(yearText), Number(monthText), Number(dayText)]
    // Two digits are a year of this century: no measuring room brings files of the last one.
    const year = String(yearText).length === 2 ? 2000 + written : written
    const [hourText, minuteText, secondText, half, zone] = match.slice(4)
    let hour = Number(hourText ?? 0)
    const minute = Number(minuteText ?? 0)
    const second = Number(secondText ?? 0)
    if (half !== undefined && half !== '') {
      if (hour < 1 || hour > 12) return this.#refuse(`"${text}" has an hour that no clock shows.`)
      hour = (hour % 12) + (/^p/i.test(half) ? 12 : 0)
    }
    if (year < 1900 || year > 2199) return this.#refuse(`"${text}" lies outside the years 1900 to 2199.`)
    if (month < 1 || month > 12 || day < 1 || day > new Date(Date.UTC(year, month, 0)).getUTCDate()) {
      return this.#refuse(`"${text}" is a day that no calendar has.`)
    }
    if (hour > 23 || minute > 59 || second > 59)
      return this.#refuse(`"${text}" is a time that no clock shows.`)
    return Date.UTC(year, month - 1, day, hour, minute, second) / 1000 - offsetOf(zone)
  }

  #refuse(reason: string): number {
    this.#reason = reason
    return Number.NaN
  }
}

/** Seconds by which a zone such as "+02:00" is ahead of UTC. */
function offsetOf(zone: string | undefined): number {
  const match = /^([+-])(\d{2}):?(\d{2})$/.exec(zone ?? '')
  if (match === null) return 0
  const seconds = Number(match[2]) * 3600 + Number(match[3]) * 60
  return match[1] === '-' ? -seconds : seconds
}

/** The order that dates with slashes show where a number above 12 gives it away; null where none does. */
export function findDateOrder(fields: Iterable<string>): DateOrder | null {
  let order: DateOrder | null = null
  for (const field of fields) {
    const text = field.trim()
    const match = SLASHED.exec(text) ?? SLASHED_SHORT.exec(text)
    if (match === null) continue
    const [first, second] = [Number(match[1]), Number(match[2])]
    const shown: DateOrder | null = first > 12 ? 'day-month' : second > 12 ? 'month-day' : null
    // Dates of both orders in one file: then none of the doubtful ones can be trusted.
    if (shown !== null && order !== null && shown !== order) return null
    order ??= shown
  }
  return order
}

/** The first date whose day and month could change places, where no other date gives the order away. */
export function findAmbiguousDate(fields: Iterable<string>): string | null {
  let doubtful: string | null = null
  let order: DateOrder | null = null
  for (const field of fields) {
    const text = field.trim()
    const match = SLASHED.exec(text) ?? SLASHED_SHORT.exec(text)
    if (match === null) continue
    const [first, second] = [Number(match[1]), Number(match[2])]
    const shown: DateOrder | null = first > 12 ? 'day-month' : second > 12 ? 'month-day' : null
    if (shown === null && first !== second) doubtful ??= text
    if (shown !== null && order !== null && shown !== order) return doubtful ?? text
    order ??= shown
  }
  return order === null ? doubtful : null
}
