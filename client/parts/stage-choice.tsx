import { useRoute } from 'preact-iso'
import { STAGES, type Stage } from '../../src/domain/cell.ts'
import { useShop } from '../data/shop.ts'

interface StageChoiceProps {
  readonly value: string
  onPick(stage: string): void
  /** The stages to choose from; all unless given. */
  readonly stages?: readonly Stage[]
  /** What is said behind a stage. */
  note?(stage: Stage): string
}

/** The state in which parts were measured. */
export function StageChoice({ value, onPick, stages = STAGES, note }: StageChoiceProps) {
  return (
    <label class="field beside">
      Measured
      <select value={value} onChange={(event) => onPick(event.currentTarget.value)}>
        {stages.map((stage) => (
          <option key={stage} value={stage}>
            {`${stage}${note?.(stage) ?? ''}`}
          </option>
        ))}
      </select>
    </label>
  )
}

/** Of the page's part number, the stages that it was measured at; nothing where there is no choice between them. */
export function MeasuredStage({ value, onPick }: Omit<StageChoiceProps, 'stages' | 'note'>) {
  const { params } = useRoute()
  const { number, revision } = params
  const measured =
    useShop().value?.partNumbers.find((each) => each.number === number && each.revision === revision)
      ?.stages ?? []
  const stages = STAGES.filter((stage) => stage === value || measured.includes(stage))
  return stages.length < 2 ? null : <StageChoice value={value} onPick={onPick} stages={stages} />
}
