import { useEffect } from 'preact/hooks'

/** Names the page in the browser's tab and history; with null its name stays. */
export function useTitle(title: string | null): void {
  useEffect(() => {
    if (title === null) return
    document.title = `${title} – as-sintered`
  }, [title])
}
