/** A line of text with its name above it. */
export function TextField({
  label,
  value,
  required = false,
  decimal = false,
  onChange,
}: {
  readonly label: string
  readonly value: string
  readonly required?: boolean
  /** A number: keyboards on glass offer digits. */
  readonly decimal?: boolean
  onChange(value: string): void
}) {
  return (
    <label class="field">
      {label}
      <input
        type="text"
        maxLength={200}
        required={required}
        {...(decimal ? { inputMode: 'decimal' as const } : {})}
        value={value}
        onInput={(event) => onChange(event.currentTarget.value)}
      />
    </label>
  )
}
