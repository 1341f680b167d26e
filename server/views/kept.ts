import type { Store } from '../store/store.ts'

/** Views kept for one store at most: an overview of 2000 builds and 40 characteristics takes some 10 MB. */
const MOST_KEPT = 64

interface Kept {
  /** Version of the store that the views were computed from. */
  version: string
  /** The one asked for last comes last. */
  readonly views: Map<string, Promise<unknown>>
}

const keptOf = new WeakMap<Store, Kept>()

/**
 * What `compute` makes of the store, kept under the key until something is committed to it. The same object may
 * be given out many times, so nobody changes it.
 *
 * @param compute reads nothing but the store and what the key tells
 */
export async function kept<T>(store: Store, key: string, compute: () => Promise<T>): Promise<T> {
  // Asked before anything is read: a commit in between makes the view newer than it is taken for, never older.
  const version = await store.version()
  if (version === null) return await compute()
  let own = keptOf.get(store)
  if (own === undefined || own.version !== version) {
    own = { version, views: new Map() }
    keptOf.set(store, own)
  }
  const { views } = own
  const view = (views.get(key) as Promise<T> | undefined) ?? compute()
  views.delete(key)
  views.set(key, view)
  // What failed is tried again.
  view.catch(() => views.delete(key))
  if (views.size > MOST_KEPT) views.delete(views.keys().next().value as string)
  return await view
}
