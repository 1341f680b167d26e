interface ChoiceProps<T extends string> {
  readonly legend: string
  readonly name: string
  readonly value: T
  readonly options: readonly { readonly value: T; readonly text: string }[]
  onPick(value: T): void
}

/** One of a few, all in sight. */
export function Choice<T extends string>({ legend, name, value, options, onPick }: ChoiceProps<T>) {
  return (
    <fieldset class="choice">
      <legend>{legend}</legend>
      {options.map((option) => (
        <label key={option.value}>
          <input
            type="radio"
            name={name}
            value={option.value}
            checked={option.value === value}
            onChange={() => onPick(option.value)}
          />
          <span>{option.text}</span>
        </label>
      ))}
    </fieldset>
  )
}
