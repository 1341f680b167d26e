/** The present moment in seconds since 1970-01-01 UTC, the form in which moments are kept. */
export function now(): number {
  return Math.floor(Date.now() / 1000)
}
