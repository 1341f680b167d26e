import type { Characteristic } from '../../../src/domain/characteristic.ts'
import { characteristicTitle } from '../../../src/words/format.ts'

interface CharacteristicChoiceProps {
  readonly all: readonly Characteristic[]
  readonly value: string
  onPick(designator: string): void
}

/** One of the characteristics of a part number. */
export function CharacteristicChoice({ all, value, onPick }: CharacteristicChoiceProps) {
  return (
    <label class="field beside">
      Characteristic
      <select value={value} onChange={(event) => onPick(event.currentTarget.value)}>
        {all.map((each) => (
          <option key={each.id} value={each.designator}>
            {`${characteristicTitle(each)}${each.axis === null ? '' : `, ${each.axis}`}`}
          </option>
        ))}
      </select>
    </label>
  )
}
