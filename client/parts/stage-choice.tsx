import { STAGES } from '../../src/domain/cell.ts'

/** The state in which parts were measured. */
export function StageChoice({ value, onPick }: { value: string; onPick: (stage: string) => void }) {
  return (
    <label class="field beside">
      Measured
      <select value={value} onChange={(event) => onPick(event.currentTarget.value)}>
        {STAGES.map((stage) => (
          <option key={stage} value={stage}>
            {stage}
          </option>
        ))}
      </select>
    </label>
  )
}
