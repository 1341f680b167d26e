interface RangeFieldProps {
  readonly label: string
  readonly min: number
  readonly max: number
  readonly step: number
  readonly value: number
  /** The value in words. */
  readonly text: string
  onPick(value: number): void
}

/** A slider with its value in words beside it. */
export function RangeField({ label, min, max, step, value, text, onPick }: RangeFieldProps) {
  return (
    <label class="range">
      <span>{label}</span>
      <input
        type="range"
        min={min}
        max={max}
        step={step}
        value={value}
        aria-valuetext={text}
        onInput={(event) => onPick(Number(event.currentTarget.value))}
      />
      <output>{text}</output>
    </label>
  )
}
