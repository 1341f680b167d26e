import { useEffect, useRef, useState } from 'preact/hooks'
import { dropSheet, keepSheet, keptSheet, keyOfSheet, type TypedSheet } from './typed-sheet.ts'

export const EMPTY_ROW = { serial: '', cells: {} }

export type SheetChange = (sheet: TypedSheet) => TypedSheet

/** A sheet that is being typed, kept by the browser at every key, in however many tabs it is open. */
export interface HeldSheet {
  /** Null once all of it is taken in. */
  readonly sheet: TypedSheet | null
  /** False where the browser keeps nothing. */
  readonly isKept: boolean
  /** Other tabs in which it is open. */
  readonly others: number
  /** True where another tab has taken it in. */
  readonly takenElsewhere: boolean
  readonly canUndo: boolean
  /**
   * Change the sheet as it stands, with what other tabs typed meanwhile.
   *
   * @param field changes of one field, one after another, are undone together
   * @param undo what takes the change back, and leaves alone what was typed elsewhere
   */
  change(field: string, change: SheetChange, undo: SheetChange): void
  undo(): void
  /** What is left of the sheet, once some of it is taken in; null drops it. */
  leave(left: (sheet: TypedSheet) => TypedSheet | null): void
}

export function useTypedSheet(begun: TypedSheet): HeldSheet {
  const [sheet, setSheet] = useState<TypedSheet | null>(begun)
  const [isKept, setIsKept] = useState(true)
  const [takenElsewhere, setTakenElsewhere] = useState(false)
  const [undos, setUndos] = useState<readonly SheetChange[]>([])
  const latest = useRef(sheet)
  const lastField = useRef('')
  const show = (next: TypedSheet | null) => {
    latest.current = next
    setSheet(next)
  }
  useEffect(() => {
    const hear = (event: StorageEvent) => {
      if (event.key !== keyOfSheet(begun.id)) return
      const next = keptSheet(begun.id)
      if (next === null && latest.current !== null) setTakenElsewhere(true)
      show(next)
    }
    addEventListener('storage', hear)
    return () => removeEventListener('storage', hear)
  }, [begun.id])
  const hold = (next: TypedSheet) => {
    // The last row is always an empty one, for the next part.
    const last = next.rows.at(-1)
    const full = last === undefined || last.serial !== '' || Object.keys(last.cells).length > 0
    const held = full ? { ...next, rows: [...next.rows, EMPTY_ROW] } : next
    show(held)
    setIsKept(keepSheet(held))
  }
  /** As the browser keeps it, which another tab may have changed a moment ago. */
  const asItStands = () => keptSheet(begun.id) ?? latest.current
  const apply = (change: SheetChange) => {
    const now = asItStands()
    if (now !== null) hold(change(now))
  }
  return {
    sheet,
    isKept,
    others: useOtherTabs(begun.id),
    takenElsewhere,
    canUndo: undos.length > 0,
    change(field, change, undo) {
      if (lastField.current !== field) setUndos([...undos, undo])
      lastField.current = field
      apply(change)
    },
    undo() {
      const last = undos.at(-1)
      if (last === undefined) return
      setUndos(undos.slice(0, -1))
      lastField.current = ''
      apply(last)
    },
    leave(left) {
      const now = asItStands()
      if (now === null) return
      const next = left(now)
      if (next === now) return
      setUndos([])
      lastField.current = ''
      if (next !== null) {
        hold(next)
        return
      }
      dropSheet(begun.id)
      show(null)
    },
  }
}

type Greeting = { readonly from: string; readonly says: 'open' | 'here' | 'gone' }

/** How many other tabs have the sheet open. */
function useOtherTabs(id: string): number {
  const [others, setOthers] = useState<ReadonlySet<string>>(new Set())
  useEffect(() => {
    if (typeof BroadcastChannel === 'undefined') return
    const own = crypto.randomUUID()
    const channel = new BroadcastChannel(keyOfSheet(id))
    const say = (says: Greeting['says']) => channel.postMessage({ from: own, says } satisfies Greeting)
    channel.onmessage = ({ data }: MessageEvent<Greeting>) => {
      const { from, says } = data
      if (says === 'open') say('here')
      setOthers((before) => {
        const after = new Set(before)
        if (says === 'gone') after.delete(from)
        else after.add(from)
        return after
      })
    }
    say('open')
    const leave = () => say('gone')
    addEventListener('pagehide', leave)
    return () => {
      removeEventListener('pagehide', leave)
      leave()
      channel.close()
    }
  }, [id])
  return others.size
}
