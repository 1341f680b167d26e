import { useEffect, useState } from 'preact/hooks'
import { capabilityState } from '../../data/capability-state.ts'
import { useQuery } from '../../data/query.ts'
import { Choice } from '../choice.tsx'
import { MeasuredStage } from '../stage-choice.tsx'

/**
 * What is asked instead of the customer's requirement, over which builds, at which stage: the same on all pages on
 * capability.
 */
export function CapabilityControls() {
  const { query, change } = useQuery()
  const state = capabilityState(query)
  const [own, setOwn] = useState(text(state.required))
  useEffect(() => setOwn(text(state.required)), [state.required])
  return (
    <div class="controls">
      <label class="field beside">
        Required Ppk, instead of what the customer asks
        <input
          type="number"
          min="0.1"
          max="10"
          step="0.01"
          value={own}
          onInput={(event) => setOwn(event.currentTarget.value)}
          onChange={(event) => change({ required: event.currentTarget.value || null })}
        />
      </label>
      <Choice
        legend="Sure to"
        name="confidence"
        value={state.confidence === null ? 'asked' : String(state.confidence)}
        options={[
          { value: 'asked', text: 'as asked' },
          { value: '0.9', text: '90 %' },
          { value: '0.95', text: '95 %' },
          { value: '0.99', text: '99 %' },
        ]}
        onPick={(confidence) => change({ confidence: confidence === 'asked' ? null : confidence })}
      />
      <Choice
        legend="Builds"
        name="last"
        value={state.last === null ? 'all' : String(state.last)}
        options={[
          { value: '30', text: 'last 30' },
          { value: '60', text: 'last 60' },
          { value: 'all', text: 'all' },
        ]}
        onPick={(last) => change({ last: last === 'all' ? null : last })}
      />
      <MeasuredStage value={state.stage} onPick={(stage) => change({ stage })} />
    </div>
  )
}

function text(value: number | null): string {
  return value === null ? '' : String(value)
}
