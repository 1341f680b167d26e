import { signedInName, useSession } from '../data/session.ts'

const KEY = 'as-sintered who'

/** The name of whoever is signed in; else the one given before on this computer; empty where none was. */
export function storedName(): string {
  const name = signedInName()
  if (name !== null) return name
  try {
    return localStorage.getItem(KEY) ?? ''
  } catch {
    return ''
  }
}

interface WhoProps {
  readonly value: string
  onChange(value: string): void
}

/** Who does what goes on record: asked for, and kept on this computer, unless somebody is signed in. */
export function Who({ value, onChange }: WhoProps) {
  const who = useSession().view?.who
  if (who?.kind === 'person') return <span class="signed-as">{`On record as ${who.name}`}</span>
  const change = (next: string) => {
    onChange(next)
    try {
      localStorage.setItem(KEY, next)
    } catch {
      // Kept for this page alone where the browser keeps nothing.
    }
  }
  return (
    <label class="field">
      Your name, for the record
      <input
        type="text"
        autocomplete="name"
        maxLength={200}
        value={value}
        onInput={(event) => change(event.currentTarget.value)}
      />
    </label>
  )
}
