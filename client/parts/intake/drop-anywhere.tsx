import { useEffect, useState } from 'preact/hooks'
import { useLocation } from 'preact-iso'
import { CALLS } from '../../data/calls.ts'
import type { IntakeQueue } from '../../data/intake-queue.ts'
import { useMay } from '../../data/session.ts'
import { storedName } from '../who.tsx'

/** Takes files that are dropped anywhere on any page, and shows that it would while they are held above it. */
export function DropAnywhere({ queue }: { queue: IntakeQueue }) {
  const { route } = useLocation()
  const [over, setOver] = useState(false)
  const may = useMay()(CALLS.bring)
  useEffect(() => {
    if (!may) return
    const hasFiles = (event: DragEvent) => event.dataTransfer?.types.includes('Files') ?? false
    const hold = (event: DragEvent) => {
      if (!hasFiles(event)) return
      event.preventDefault()
      setOver(true)
    }
    const leave = (event: DragEvent) => {
      if (event.relatedTarget === null) setOver(false)
    }
    const drop = (event: DragEvent) => {
      if (!hasFiles(event)) return
      event.preventDefault()
      setOver(false)
      const files = [...(event.dataTransfer?.files ?? [])]
      if (files.length === 0) return
      queue.add(files, storedName())
      route('/intake')
    }
    window.addEventListener('dragover', hold)
    window.addEventListener('dragleave', leave)
    window.addEventListener('drop', drop)
    return () => {
      window.removeEventListener('dragover', hold)
      window.removeEventListener('dragleave', leave)
      window.removeEventListener('drop', drop)
    }
  }, [queue, route, may])
  return over ? <div class="drop-over">Let go to take the files in.</div> : null
}
