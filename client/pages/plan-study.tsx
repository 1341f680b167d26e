import { useEffect, useState } from 'preact/hooks'
import { useLocation } from 'preact-iso'
import type { GaugeChoicesView, GaugePlanView } from '../../server/contract/gauges.ts'
import { expectedHalfWidth, planStudy, type StudyAim } from '../../src/gauges/plan-study.ts'
import { planWords } from '../../src/gauges/plan-words.ts'
import { formatNumber } from '../../src/words/format.ts'
import { CALLS } from '../data/calls.ts'
import { send, tellDecided } from '../data/decide.ts'
import {
  GAUGE_CHOICES_ADDRESS,
  GAUGE_PLANS_ADDRESS,
  GAUGES_PAGE,
  gaugePlanPage,
} from '../data/gauge-addresses.ts'
import { type Problem, problemOf } from '../data/http.ts'
import { planState } from '../data/plan-state.ts'
import { useQuery } from '../data/query.ts'
import { useResource } from '../data/resource.ts'
import { useMay } from '../data/session.ts'
import { Choice } from '../parts/choice.tsx'
import { DataTable } from '../parts/data-table.tsx'
import { Disclosure } from '../parts/disclosure.tsx'
import { ProblemNotice, Reading } from '../parts/notice.tsx'
import { Opening } from '../parts/sentence.tsx'
import { useTitle } from '../parts/title.ts'
import { storedName, Who } from '../parts/who.tsx'
import type { TableModel } from '../save/csv.ts'
import { placeText } from '../words/gauge-tables.ts'

/** How many parts, inspectors and trials a study needs, and the plan that is made of it. */
export function PlanStudyPage() {
  useTitle('Plan a gauge study')
  const { query } = useQuery()
  const may = useMay()
  const { aim, bounds } = planState(query)
  const plan = planStudy(aim, bounds)
  const words = planWords(aim, plan, bounds)
  return (
    <>
      <p class="back">
        <a href={GAUGES_PAGE}>All gauges</a>
      </p>
      <Opening headline={words.headline} grounds={words.grounds} />
      <AimControls />
      <Disclosure name="sizes" title="What other sizes would give">
        <DataTable table={sizesTable(aim)} />
      </Disclosure>
      {may(CALLS.planGaugeStudy) ? (
        <SheetForm
          // A new aim proposes a new size.
          key={`${plan?.parts} ${plan?.inspectors} ${plan?.trials}`}
          aim={aim}
          parts={plan?.parts ?? 10}
          inspectors={plan?.inspectors ?? 3}
          trials={plan?.trials ?? 3}
        />
      ) : (
        <p>Plans are made by the inspector, the process engineer and the administrator.</p>
      )}
    </>
  )
}

function AimControls() {
  const { query, change } = useQuery()
  const { aim, bounds } = planState(query)
  return (
    <div class="controls">
      <Choice
        legend="Share of"
        name="of"
        value={aim.of}
        options={[
          { value: 'tolerance', text: 'the tolerance' },
          { value: 'spread', text: 'the spread' },
        ]}
        onPick={(of) => change({ of: of === 'tolerance' ? null : of })}
      />
      <PercentField label="Share expected, %" value={aim.share} onChange={(share) => change({ share })} />
      <PercentField
        label="To be known to ±, %"
        value={aim.halfWidth}
        onChange={(within) => change({ within })}
      />
      <PercentField
        label="Of the gauge’s variance, inspectors add, %"
        value={aim.inspectorShare}
        onChange={(inspectors) => change({ inspectors })}
      />
      <NumberField
        label="At most inspectors"
        value={bounds.inspectors}
        onChange={(people) => change({ people })}
      />
      <NumberField label="At most parts" value={bounds.parts} onChange={(parts) => change({ parts })} />
    </div>
  )
}

interface NumberFieldProps {
  readonly label: string
  readonly value: number
  onChange(text: string): void
}

function NumberField({ label, value, onChange }: NumberFieldProps) {
  return (
    <label class="field beside">
      {label}
      <input
        type="number"
        min="1"
        max="60"
        value={String(value)}
        onChange={(event) => onChange(event.currentTarget.value)}
      />
    </label>
  )
}

interface PercentFieldProps {
  readonly label: string
  readonly value: number
  onChange(text: string): void
}

function PercentField({ label, value, onChange }: PercentFieldProps) {
  const shown = String(Number((100 * value).toFixed(6)))
  const [text, setText] = useState(shown)
  useEffect(() => setText(shown), [shown])
  return (
    <label class="field beside">
      {label}
      <input
        type="text"
        inputMode="decimal"
        value={text}
        onInput={(event) => setText(event.currentTarget.value)}
        onChange={(event) => onChange(event.currentTarget.value)}
      />
    </label>
  )
}

interface SheetFormProps {
  readonly aim: StudyAim
  readonly parts: number
  readonly inspectors: number
  readonly trials: number
}

function SheetForm({ aim, parts, inspectors, trials }: SheetFormProps) {
  const { query, change } = useQuery()
  const { gauge, characteristic } = planState(query)
  const { route } = useLocation()
  const choices = useResource<GaugeChoicesView>(GAUGE_CHOICES_ADDRESS)
  const [partText, setPartText] = useState(numbered('', parts))
  const [inspectorText, setInspectorText] = useState(numbered('inspector ', inspectors))
  const [trialText, setTrialText] = useState(String(trials))
  const [seedText, setSeedText] = useState('')
  const [who, setWho] = useState(storedName)
  const [problem, setProblem] = useState<Problem | null>(null)
  const [busy, setBusy] = useState(false)
  const may = useMay()
  const names = { parts: namesIn(partText), inspectors: namesIn(inspectorText) }
  const count = Number(trialText)
  const make = async (event: Event) => {
    event.preventDefault()
    if (busy) return
    setBusy(true)
    setProblem(null)
    try {
      const { number } = await send<GaugePlanView>(GAUGE_PLANS_ADDRESS, {
        characteristic,
        gauge,
        ...names,
        trials: count,
        seed: seedText.trim() === '' ? null : Number(seedText),
        who,
      })
      tellDecided()
      route(gaugePlanPage(number))
    } catch (error) {
      setProblem(problemOf(error))
    } finally {
      setBusy(false)
    }
  }
  return (
    <section>
      <h2>Make the measuring sheet</h2>
      <Reading resource={choices} what="gauges and characteristics" />
      <form class="plan" onSubmit={make}>
        <div class="fields">
          <label class="field">
            Gauge
            <select
              value={gauge ?? ''}
              onChange={(event) => change({ gauge: event.currentTarget.value || null })}
            >
              <option value="">not named</option>
              {(choices.value?.gauges ?? []).map((name) => (
                <option key={name} value={name}>
                  {name}
                </option>
              ))}
            </select>
          </label>
          <label class="field">
            Characteristic
            <select
              value={characteristic === null ? '' : String(characteristic)}
              onChange={(event) => change({ characteristic: event.currentTarget.value || null })}
            >
              <option value="">not named</option>
              {(choices.value?.characteristics ?? []).map((place) => (
                <option key={place.characteristic.id} value={String(place.characteristic.id)}>
                  {placeText(place)}
                </option>
              ))}
            </select>
          </label>
          <label class="field">
            Trials
            <input
              type="number"
              min="1"
              max="30"
              value={trialText}
              onInput={(event) => setTrialText(event.currentTarget.value)}
            />
          </label>
          <label class="field">
            Seed of the order, if you want one of your own
            <input
              type="text"
              inputMode="numeric"
              value={seedText}
              onInput={(event) => setSeedText(event.currentTarget.value)}
            />
          </label>
        </div>
        <div class="fields">
          <label class="field">
            {`Parts, one a line (${names.parts.length})`}
            <textarea rows={6} value={partText} onInput={(event) => setPartText(event.currentTarget.value)} />
          </label>
          <label class="field">
            {`Inspectors, one a line; one name for a machine (${names.inspectors.length})`}
            <textarea
              rows={6}
              value={inspectorText}
              onInput={(event) => setInspectorText(event.currentTarget.value)}
            />
          </label>
        </div>
        <p>{sizeWords(aim, names.parts.length, names.inspectors.length, count)}</p>
        <p class="quiet">
          Take parts that span what the process makes, and inspectors who really measure them. Nobody should
          know which part is which, nor see earlier readings.
        </p>
        <div class="decide">
          <Who value={who} onChange={setWho} />
          <button type="submit" class="main" disabled={busy || !may(CALLS.planGaugeStudy)}>
            Make the sheet
          </button>
        </div>
        {problem !== null && <ProblemNotice problem={problem} />}
      </form>
    </section>
  )
}

const PARTS = [5, 10, 20, 30] as const

/** To how much the share would be known with other numbers of parts and inspectors, two trials each. */
function sizesTable(aim: StudyAim): TableModel {
  const inspectors = aim.inspectorShare > 0 ? [2, 3, 4, 5, 6, 8] : [1, 2, 3]
  return {
    caption: 'Share known to ± so many per cent, two trials',
    columns: [
      { heading: 'inspectors', decimals: 0 },
      ...PARTS.map((parts) => ({ heading: `± %, ${parts} parts`, decimals: 1 })),
    ],
    rows: inspectors.map((count) => [
      count,
      ...PARTS.map((parts) => {
        const half = 100 * expectedHalfWidth(aim, parts, count, 2)
        return Number.isFinite(half) ? half : null
      }),
    ]),
  }
}

/** What a study of this size would come to. */
function sizeWords(aim: StudyAim, parts: number, inspectors: number, trials: number): string {
  const readings = parts * inspectors * trials
  if (!Number.isInteger(readings) || readings <= 0)
    return 'Name parts and inspectors, and a whole number of trials.'
  const counted = `${parts} × ${inspectors} × ${trials} = ${readings} readings`
  if (parts < 2 || trials < 2) {
    return `${counted}. With one part or one trial the share cannot be told; the study says what it still can.`
  }
  if (inspectors < 2 && aim.inspectorShare > 0) {
    return `${counted}. One inspector does not show what inspectors add: set that to 0 % for a machine.`
  }
  const half = expectedHalfWidth(aim, parts, inspectors, trials)
  if (!Number.isFinite(half)) return `${counted}.`
  return `${counted}: the share would be known to about ± ${formatNumber(100 * half, 1)} %.`
}

function numbered(word: string, count: number): string {
  return Array.from({ length: count }, (_, i) => `${word}${i + 1}`).join('\n')
}

function namesIn(text: string): string[] {
  return text
    .split('\n')
    .map((name) => name.trim())
    .filter((name) => name !== '')
}
