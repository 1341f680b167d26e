import { useState } from 'preact/hooks'
import type { RequirementsView } from '../../../server/contract/requirements.ts'
import type { IndexRequirement, RequirementClass } from '../../../src/capability/requirement.ts'
import { formatNumber } from '../../../src/words/format.ts'
import { type PartNumberKey, requirementsAddress } from '../../data/addresses.ts'
import { CALLS } from '../../data/calls.ts'
import { send } from '../../data/decide.ts'
import { useResource } from '../../data/resource.ts'
import { timeText } from '../../words/quantities.ts'
import { Actions } from '../actions.tsx'
import { DecisionForm } from '../decision-form.tsx'
import { Reading } from '../notice.tsx'

/** What the customer asks of each class of characteristics, and a way to decide it. */
export function CustomerRequirements({ partNumber }: { partNumber: PartNumberKey }) {
  const resource = useResource<RequirementsView>(requirementsAddress(partNumber))
  const view = resource.value
  if (view === null) return <Reading resource={resource} what="what the customer asks" />
  const { fallback, classes, characteristics, history } = view
  return (
    <>
      <p>
        {`Of characteristics without a class: ${asked(fallback)}${view.version === 0 ? ', which holds while nobody has decided anything' : ''}.`}
      </p>
      {classes.map((each) => (
        <p key={each.name}>
          {`${each.name}: ${asked(each)}. `}
          <span class="quiet">{membersOf(characteristics, each.name)}</span>
        </p>
      ))}
      <Actions
        items={[
          {
            label: 'Change what the customer asks',
            needs: CALLS.decideRequirements,
            form: (close) => (
              <RequirementsForm
                key={view.version}
                partNumber={partNumber}
                view={view}
                onStale={resource.again}
                onClose={() => {
                  close()
                  resource.again()
                }}
              />
            ),
          },
        ]}
      />
      {history.length > 0 && (
        <ol class="written" reversed>
          {history.map(({ version, who, at, reason }) => (
            <li key={version} value={version}>
              {`${reason} `}
              <span class="quiet">{`${who}, ${timeText(at)}`}</span>
            </li>
          ))}
        </ol>
      )}
    </>
  )
}

function asked({ index, value, confidence }: IndexRequirement): string {
  return `${index} ${formatNumber(value, 2)}, sure to ${Number((100 * confidence).toFixed(1))} %`
}

function membersOf(characteristics: RequirementsView['characteristics'], name: string): string {
  const members = characteristics.filter((each) => each.class === name)
  return members.length === 0
    ? 'No characteristic is in it.'
    : `Characteristics ${members.map(({ designator }) => designator).join(', ')}.`
}

interface RequirementsFormProps {
  readonly partNumber: PartNumberKey
  readonly view: RequirementsView
  onStale(): void
  onClose(): void
}

function RequirementsForm({ partNumber, view, onStale, onClose }: RequirementsFormProps) {
  const [fallback, setFallback] = useState<IndexRequirement>(view.fallback)
  const [classes, setClasses] = useState<readonly RequirementClass[]>(view.classes)
  const [classOf, setClassOf] = useState<Readonly<Record<string, string>>>(() =>
    Object.fromEntries(view.characteristics.map((each) => [each.designator, each.class ?? ''])),
  )
  const names = classes.map(({ name }) => name.trim())
  const complete =
    names.every((name) => name !== '') &&
    new Set(names).size === names.length &&
    [fallback, ...classes].every(({ value }) => value >= 0.1 && value <= 10)
  const change = (at: number, patch: Partial<RequirementClass>) => {
    const before = classes[at] as RequirementClass
    setClasses(classes.with(at, { ...before, ...patch }))
    const { name } = patch
    // Its members go along with a class that gets another name; one without a name has none yet.
    if (name === undefined || before.name === '') return
    setClassOf(
      Object.fromEntries(
        Object.entries(classOf).map(([key, own]) => [key, own === before.name ? name : own]),
      ),
    )
  }
  return (
    <DecisionForm
      title="What the customer asks governs verdicts on this page and in reports from now on."
      submit="Keep these requirements"
      reason="Why: contract, drawing note, agreement"
      ready={complete}
      onClose={onClose}
      onStale={onStale}
      send={(signed) =>
        send(requirementsAddress(partNumber), {
          ...signed,
          version: view.version,
          fallback,
          classes: classes.map((each) => ({ ...each, name: each.name.trim() })),
          assigned: Object.entries(classOf).flatMap(([designator, name]) =>
            names.includes(name.trim()) ? [{ designator, class: name.trim() }] : [],
          ),
        })
      }
    >
      <IndexFields
        legend="Characteristics without a class"
        value={fallback}
        onChange={(patch) => setFallback({ ...fallback, ...patch })}
      />
      {classes.map((each, i) => (
        <IndexFields key={i} legend={`Class ${i + 1}`} value={each} onChange={(patch) => change(i, patch)}>
          <label class="field">
            Name
            <input
              type="text"
              maxLength={60}
              value={each.name}
              onInput={(event) => change(i, { name: event.currentTarget.value })}
            />
          </label>
          <button type="button" onClick={() => setClasses(classes.toSpliced(i, 1))}>
            {`Take class ${each.name === '' ? i + 1 : each.name} out`}
          </button>
        </IndexFields>
      ))}
      <button
        type="button"
        onClick={() => setClasses([...classes, { name: '', index: 'Ppk', value: 1.67, confidence: 0.95 }])}
      >
        Add a class
      </button>
      {classes.length > 0 && (
        <div class="controls">
          {view.characteristics.map(({ designator, name }) => (
            <label class="field" key={designator}>
              {name === designator ? designator : `${designator} ${name}`}
              <select
                value={classOf[designator] ?? ''}
                onChange={(event) => setClassOf({ ...classOf, [designator]: event.currentTarget.value })}
              >
                <option value="">no class</option>
                {classes.map((each) => (
                  <option key={each.name} value={each.name}>
                    {each.name}
                  </option>
                ))}
              </select>
            </label>
          ))}
        </div>
      )}
      {!complete && <p>Every class needs a name of its own and an index between 0.1 and 10.</p>}
    </DecisionForm>
  )
}

interface IndexFieldsProps {
  readonly legend: string
  readonly value: IndexRequirement
  onChange(patch: Partial<IndexRequirement>): void
  readonly children?: preact.ComponentChildren
}

function IndexFields({ legend, value, onChange, children }: IndexFieldsProps) {
  return (
    <fieldset class="controls">
      <legend>{legend}</legend>
      {children}
      <label class="field">
        Index
        <select
          value={value.index}
          onChange={(event) => onChange({ index: event.currentTarget.value as IndexRequirement['index'] })}
        >
          <option value="Ppk">Ppk</option>
          <option value="Cpk">Cpk</option>
        </select>
      </label>
      <label class="field">
        At least
        <input
          type="number"
          min="0.1"
          max="10"
          step="0.01"
          value={value.value}
          onInput={(event) => onChange({ value: event.currentTarget.valueAsNumber })}
        />
      </label>
      <label class="field">
        Sure to
        <select
          value={String(value.confidence)}
          onChange={(event) => onChange({ confidence: Number(event.currentTarget.value) })}
        >
          {[...new Set([0.9, 0.95, 0.99, value.confidence])].map((each) => (
            <option key={each} value={String(each)}>{`${Number((100 * each).toFixed(1))} %`}</option>
          ))}
        </select>
      </label>
    </fieldset>
  )
}
