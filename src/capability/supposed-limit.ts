const LIMIT = /^[+-]?(\d{1,12}([.,]\d{0,15})?|[.,]\d{1,15})$/

/**
 * A limit as a person writes it, with a point or a comma for the decimals, in the unit of the characteristic.
 *
 * @returns null for none: an empty text; undefined for what is no number
 */
export function limitFromText(text: string): number | null | undefined {
  const written = text.trim().replace('−', '-')
  if (written === '') return null
  return LIMIT.test(written) ? Number(written.replace(',', '.')) : undefined
}

/** What to write for a limit, where something else was. */
export const LIMIT_EXPECTED =
  'A limit is a number such as 12.35, without its unit; leave it empty for no limit on that side.'
