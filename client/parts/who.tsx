const KEY = 'as-sintered who'

/** The name given before on this computer; empty where none was. */
export function storedName(): string {
  try {
    return localStorage.getItem(KEY) ?? ''
  } catch {
    return ''
  }
}

export interface WhoProps {
  readonly value: string
  onChange(value: string): void
}

/** Who hands files in; kept on this computer. */
export function Who({ value, onChange }: WhoProps) {
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
