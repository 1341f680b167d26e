import { useLocation } from 'preact-iso'

type Query = Readonly<Record<string, string>>

/** The part of the address behind the question mark, and a way to change some of it. Null takes a key out. */
export function useQuery(): {
  readonly query: Query
  change(patch: Readonly<Record<string, string | null>>, replace?: boolean): void
} {
  const { query, path, route } = useLocation()
  return {
    query,
    change: (patch, replace = true) => route(`${path}${changedQuery(query, patch)}`, replace),
  }
}

/** The query with the patch applied, with its question mark; empty where nothing is left. */
export function changedQuery(query: Query, patch: Readonly<Record<string, string | null>>): string {
  const next = new URLSearchParams(query)
  for (const [key, value] of Object.entries(patch)) {
    if (value === null) next.delete(key)
    else next.set(key, value)
  }
  const text = next.toString()
  return text === '' ? '' : `?${text}`
}

/** A section that the address holds open: whether it is, and a way to open and close it. */
export function useOpen(name: string): readonly [boolean, (open: boolean) => void] {
  const { query, change } = useQuery()
  const names = (query.open ?? '').split(',').filter((each) => each !== '')
  const set = (open: boolean) => {
    const others = names.filter((each) => each !== name)
    const next = open ? [...others, name] : others
    change({ open: next.length === 0 ? null : next.join(',') })
  }
  return [names.includes(name), set]
}
