import { BUILD_CONDITIONS, LOAD_CONDITIONS } from '../../data/typed-file.ts'
import type { TypedSheet } from '../../data/typed-sheet.ts'
import { Disclosure } from '../disclosure.tsx'

interface TypingConditionsProps {
  readonly sheet: TypedSheet
  /** True where the build is not on record: what is on record is not overwritten from here. */
  readonly isNewBuild: boolean
  /** On record. */
  readonly furnaceLoads: readonly string[]
  onChange(heading: string, text: string): void
}

/** When and how the parts were printed and sintered, as far as that is not on record. */
export function TypingConditions({ sheet, isNewBuild, furnaceLoads, onChange }: TypingConditionsProps) {
  const said = sheet.conditions ?? {}
  const load = (said.furnace_load ?? '').trim()
  const isNewLoad = load !== '' && !furnaceLoads.includes(load)
  const field = ({ heading, words, type }: (typeof BUILD_CONDITIONS | typeof LOAD_CONDITIONS)[number]) => (
    <div class="field" key={heading}>
      <label for={`condition-${heading}`}>{words}</label>
      {type === 'datetime-local' ? (
        <input
          id={`condition-${heading}`}
          type="datetime-local"
          value={said[heading] ?? ''}
          onInput={(event) => onChange(heading, event.currentTarget.value)}
        />
      ) : (
        <input
          id={`condition-${heading}`}
          type="text"
          inputMode={type === 'number' ? 'decimal' : 'text'}
          maxLength={200}
          value={said[heading] ?? ''}
          onInput={(event) => onChange(heading, event.currentTarget.value)}
        />
      )}
    </div>
  )
  return (
    <Disclosure name="conditions" title="How the parts were printed and sintered">
      <p class="quiet">
        {isNewBuild
          ? `Build ${sheet.build} has no parts measured yet. What you say of it here goes to the record with the values.`
          : `Build ${sheet.build} is on record; bring a file of builds to correct what is known of it.`}
      </p>
      {isNewBuild && <div class="begin-typing">{BUILD_CONDITIONS.map(field)}</div>}
      <div class="begin-typing">
        <label class="field">
          Furnace load of these parts
          <input
            type="text"
            maxLength={200}
            list="typing-loads"
            value={said.furnace_load ?? ''}
            onInput={(event) => onChange('furnace_load', event.currentTarget.value)}
          />
        </label>
        <datalist id="typing-loads">
          {furnaceLoads.map((name) => (
            <option key={name} value={name} />
          ))}
        </datalist>
        {isNewLoad && LOAD_CONDITIONS.map(field)}
      </div>
    </Disclosure>
  )
}
