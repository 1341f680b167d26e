/**
 * Beginnings by which spreadsheets take a text for a formula: signs, the at sign, tab and line ends, and their wide forms
 * (the OWASP page on CSV injection lists them). A negative number is one, and stays.
 */
const RUNS = /^[=+\-@\t\r\n＝＋－＠]/
const NUMBER = /^-\d+(?:[.,]\d+)?(?:[eE][+-]?\d+)?$/

/**
 * A text as a field of CSV (RFC 4180) that stays text in a spreadsheet: where it would be run as a formula it has an
 * apostrophe in front, and it is quoted where it holds comma, quote or line end.
 */
export function csvField(text: string): string {
  const safe = RUNS.test(text) && !NUMBER.test(text) ? `'${text}` : text
  return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe
}
