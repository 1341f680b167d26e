import type { ComponentChildren } from 'preact'
import { useRef, useState } from 'preact/hooks'
import type { RouteCall } from '../../server/access/route-roles.ts'
import { useMay } from '../data/session.ts'

/** One thing that can be done here: the words on its button, and the form that the button opens. */
export interface Action {
  readonly label: string
  /** What it is done to, for those who do not see what the button stands beside. */
  readonly about?: string
  /** What the server has to let the reader do; without it, the button is there for everybody. */
  readonly needs?: RouteCall
  form(close: () => void): ComponentChildren
}

/** Buttons in a row; the form of the one that is open stands below, and gives the focus back when it closes. */
export function Actions({ items }: { items: readonly Action[] }) {
  const [open, setOpen] = useState<string | null>(null)
  const buttons = useRef(new Map<string, HTMLButtonElement>())
  const close = (label: string) => {
    setOpen(null)
    buttons.current.get(label)?.focus()
  }
  const may = useMay()
  const offered = items.filter(({ needs }) => needs === undefined || may(needs))
  const shown = offered.find((item) => item.label === open)
  return (
    <>
      <span class="choices">
        {offered.map(({ label, about }) => (
          <button
            key={label}
            type="button"
            class="plain"
            {...(about === undefined ? {} : { 'aria-label': `${label}, ${about}` })}
            aria-expanded={label === open}
            ref={(button) => {
              if (button !== null) buttons.current.set(label, button)
            }}
            onClick={() => setOpen(label === open ? null : label)}
          >
            {label}
          </button>
        ))}
      </span>
      {shown?.form(() => close(shown.label))}
    </>
  )
}
