/** What can be read from, and says when it changes. */
export interface Versioned {
  /** As `Store.contentVersion`. */
  contentVersion(): Promise<string | null>
}

interface Kept {
  /** Version that the results were computed from. */
  version: string
  /** The one asked for last comes last. */
  readonly results: Map<string, Promise<unknown>>
}

const keptOf = new WeakMap<Versioned, Kept>()

/** Results kept for one source at most: the view of 2000 builds and 40 characteristics takes some 10 MB. */
const MOST_KEPT = 64

/**
 * What `compute` makes of the source, kept under the key until something is committed to it. The same object may be
 * given out many times, so nobody changes it.
 *
 * @param compute reads nothing but the source and what the key tells
 * @param most results kept of this source; the ones unasked for longest go first
 */
export async function kept<T>(
  source: Versioned,
  key: string,
  compute: () => Promise<T>,
  most = MOST_KEPT,
): Promise<T> {
  // Asked before anything is read: a commit in between makes the result newer than it is taken for, never older.
  const version = await source.contentVersion()
  if (version === null) return await compute()
  let own = keptOf.get(source)
  if (own === undefined || own.version !== version) {
    own = { version, results: new Map() }
    keptOf.set(source, own)
  }
  const { results } = own
  const result = (results.get(key) as Promise<T> | undefined) ?? compute()
  results.delete(key)
  results.set(key, result)
  // What failed is tried again.
  result.catch(() => results.delete(key))
  if (results.size > most) results.delete(results.keys().next().value as string)
  return await result
}
