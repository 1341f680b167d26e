import { useState } from 'preact/hooks'

/**
 * The revision that whoever fills a form has seen. The page may be brought up to date under the form; what another
 * person changed counts as seen only once that has been said.
 *
 * @param latest the revision that the page shows now
 */
export function useRevisionSeen(latest: number): { readonly seen: number; see(): void } {
  const [opened] = useState(latest)
  const [told, setTold] = useState(false)
  return { seen: told ? latest : opened, see: () => setTold(true) }
}
