/** Order of day and month in dates such as 3/12/2026. */
export type DateOrder = 'day-month' | 'month-day'

const MONTHS = ['jan', 'feb', 'mar', 'apr', 'may', 'jun', 'jul', 'aug', 'sep', 'oct', 'nov', 'dec']

const TIME = String.raw`(?:[T ,]+(\d{1,2}):(\d{2})(?::(\d{2})(?:[.,]\d+)?)?\s*([ap]\.?m\.?)?\s*(Z|UTC|[+-]\d{2}:?\d{2})?)?`
const YEAR_FIRST = new RegExp(String.raw`^(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})${TIME}$`, 'i')
const DOTTED = new RegExp(String.raw`^(\d{1,2})\.\s?(\d{1,2})\.\s?(\d{4})${TIME}$`, 'i')
const SLASHED = new RegExp(String.raw`^(\d{1,2})[/-](\d{1,2})[/-](\d{4})${TIME}$`, 'i')
const NAMED = new RegExp(String.raw`^(\d{1,2})[ .-]+([a-z]{3})[a-z]*[ .,-]+(\d{4})${TIME}$`, 'i')

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
    if (match !== null) {
      const month = MONTHS.indexOf((match[2] as string).toLowerCase()) + 1
      return this.#time(text, match[3], month, match[1], match)
    }
    match = SLASHED.exec(text)
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
    const [year, month, day] = [Number(yearText), Number(monthText), Number(dayText)]
    const [hourText, minuteText, secondText, half, zone] = match.slice(4)
    let hour = Number(hourText ?? 0)
    const minute = Number(minuteText ?? 0)
    const second = Number(secondText ?? 0)
    if (half !== undefined) {
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
    const match = SLASHED.exec(field.trim())
    if (match === null) continue
    const [first, second] = [Number(match[1]), Number(match[2])]
    const shown: DateOrder | null = first > 12 ? 'day-month' : second > 12 ? 'month-day' : null
    // Dates of both orders in one file: then none of the doubtful ones can be trusted.
    if (shown !== null && order !== null && shown !== order) return null
    order ??= shown
  }
  return order
}
