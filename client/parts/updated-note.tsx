import { useEffect, useState } from 'preact/hooks'
import { onRefreshed } from '../data/notices.ts'

/** Milliseconds that the note stays. */
const STAYS = 8000

/** Says, quietly and for a while, that the page was brought up to date by itself. */
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
  return (
    <p class="updated" role="status">
      {shown && 'Updated just now'}
    </p>
  )
}
