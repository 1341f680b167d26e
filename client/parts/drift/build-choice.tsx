interface BuildChoiceProps {
  readonly label: string
  readonly builds: readonly string[]
  readonly value: string
  onPick(build: string): void
}

/** One build of the timeline by its name. */
export function BuildChoice({ label, builds, value, onPick }: BuildChoiceProps) {
  return (
    <label class="field">
      {label}
      <select value={value} onChange={(event) => onPick(event.currentTarget.value)}>
        {!builds.includes(value) && <option value={value}>{value}</option>}
        {builds.map((build) => (
          <option key={build} value={build}>
            {build}
          </option>
        ))}
      </select>
    </label>
  )
}
