import { createHash } from 'node:crypto'

/**
 * JSON that the same data always give: names of members in the order of their code units, no white space, numbers as
 * ECMAScript writes them. Source: RFC 8785, JSON Canonicalization Scheme.
 *
 * @param value plain data: null, booleans, finite numbers, text, arrays, records
 * @throws TypeError where a number is not finite
 */
export function canonicalJson(value: unknown): string {
  if (typeof value === 'number' && !Number.isFinite(value)) throw new TypeError(`${value} has no JSON`)
  if (Array.isArray(value)) return `[${value.map((each) => canonicalJson(each ?? null)).join(',')}]`
  if (value !== null && typeof value === 'object') {
    const members = Object.entries(value)
      .filter(([, member]) => member !== undefined)
      .sort(([a], [b]) => (a < b ? -1 : 1))
      .map(([name, member]) => `${JSON.stringify(name)}:${canonicalJson(member)}`)
    return `{${members.join(',')}}`
  }
  return JSON.stringify(value)
}

/** SHA-256 of the canonical JSON, in hexadecimal digits. */
export function fingerprintOf(value: unknown): string {
  return createHash('sha256').update(canonicalJson(value)).digest('hex')
}
