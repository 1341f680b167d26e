import type { ComponentChildren } from 'preact'
import { useOpen } from '../data/query.ts'

interface DisclosureProps {
  /** Names the section in the address. */
  readonly name: string
  readonly title: string
  readonly children: ComponentChildren
}

/** A section that opens where it stands; the address remembers it. */
export function Disclosure({ name, title, children }: DisclosureProps) {
  const [open, setOpen] = useOpen(name)
  return (
    <section class="disclosure">
      <h2>
        <button
          type="button"
          class="plain"
          aria-expanded={open}
          aria-controls={`section-${name}`}
          onClick={() => setOpen(!open)}
        >
          {title}
        </button>
      </h2>
      <div id={`section-${name}`} hidden={!open}>
        {open && children}
      </div>
    </section>
  )
}
