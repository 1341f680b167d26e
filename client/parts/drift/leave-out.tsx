import { useState } from 'preact/hooks'
import type { ExclusionView } from '../../../server/contract/decisions.ts'
import type { Characteristic } from '../../../src/domain/characteristic.ts'
import { characteristicTitle } from '../../../src/words/format.ts'
import { leaveOutAddress, type PartNumberKey, takeBackAddress } from '../../data/addresses.ts'
import { send } from '../../data/decide.ts'
import { dayText } from '../../words/quantities.ts'
import { DecisionForm } from '../decision-form.tsx'

interface LeaveOutFormProps {
  readonly partNumber: PartNumberKey
  readonly characteristic: Characteristic
  readonly stage: string
  readonly build: string
  /** The single value; null for the whole build. */
  readonly single: { readonly serial: string; readonly replicate: number; readonly text: string } | null
  onClose(): void
}

/** Leaves a build or a value out of limits, tests and figures, for a reason. */
export function LeaveOutForm(props: LeaveOutFormProps) {
  const { partNumber, characteristic, stage, build, single, onClose } = props
  const [every, setEvery] = useState(false)
  const name = characteristicTitle(characteristic)
  return (
    <DecisionForm
      title={
        single === null
          ? `Leave build ${build} out of limits, tests and figures. It stays in sight and on record.`
          : `Leave ${single.text} of serial number ${single.serial} out of limits, tests and figures of ${name}. It stays in sight and on record.`
      }
      submit="Leave it out"
      reason="Why it does not count"
      onClose={onClose}
      send={({ who, reason }) =>
        send(leaveOutAddress(partNumber, characteristic.designator, stage), {
          build,
          single: single && { serial: single.serial, replicate: single.replicate },
          everyCharacteristic: every,
          who,
          reason,
        })
      }
    >
      {single === null && (
        <fieldset class="ticks">
          <legend>Of</legend>
          <label>
            <input type="radio" name="every" checked={!every} onChange={() => setEvery(false)} />
            {`${name} alone`}
          </label>
          <label>
            <input type="radio" name="every" checked={every} onChange={() => setEvery(true)} />
            every characteristic
          </label>
        </fieldset>
      )}
    </DecisionForm>
  )
}

interface TakeBackFormProps {
  readonly partNumber: PartNumberKey
  readonly stage: string
  readonly exclusion: ExclusionView
  onClose(): void
}

/** Takes a build or a value back into the figures. */
export function TakeBackForm({ partNumber, stage, exclusion, onClose }: TakeBackFormProps) {
  return (
    <DecisionForm
      title={`Count ${exclusion.single === null ? `build ${exclusion.build}` : `serial number ${exclusion.single.serial}`} again.`}
      submit="Count it again"
      reason="Why it counts after all"
      onClose={onClose}
      send={({ who, reason }) =>
        send(takeBackAddress(partNumber, stage), { exclusions: [exclusion.id], who, reason })
      }
    />
  )
}

/** Why something is left out, and by whom. */
export function exclusionWords({ reason, who, at }: ExclusionView): string {
  return `left out by ${who}, ${dayText(at)}: ${reason}`
}
