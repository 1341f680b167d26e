import { useEffect, useState } from 'preact/hooks'
import { onLost, onRefreshed } from '../data/notices.ts'
import { timeText } from '../words/quantities.ts'

/** Milliseconds that the note stays. */
const STAYS = 8000

/** Milliseconds that the server may be away, as while it starts anew, before it is said. */
const PASSES = 3000

/**
 * Says, quietly and for a while, that the page was brought up to date by itself; and, as long as it is so, that the
 * server is not heard, so that what is shown may be older than the record.
 */
export function UpdatedNote() {
  const [times, setTimes] = useState(0)
  const [shown, setShown] = useState(false)
  useEffect(
    () =>
      onRefreshed(() => {
        setTimes((before) => before + 1)
        setShown(true)
      }),
    [],
  )
  useEffect(() => {
    if (times === 0) return
    const timer = setTimeout(() => setShown(false), STAYS)
    return () => clearTimeout(timer)
  }, [times])
  const lost = useLost()
  return (
    <p class="updated" role="status">
      {lost !== null
        ? `Not connected since ${timeText(lost.getTime() / 1000)}: what is shown may be older than the record`
        : shown && 'Updated just now'}
    </p>
  )
}

/** Since when the server is not heard; null while it is, or is away for a moment only. */
function useLost(): Date | null {
  const [since, setSince] = useState<Date | null>(null)
  const [said, setSaid] = useState<Date | null>(null)
  useEffect(() => onLost(setSince), [])
  useEffect(() => {
    if (since === null) {
      setSaid(null)
      return
    }
    const timer = setTimeout(() => setSaid(since), PASSES)
    return () => clearTimeout(timer)
  }, [since])
  return said
}
