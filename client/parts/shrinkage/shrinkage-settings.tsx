import { useEffect, useState } from 'preact/hooks'
import type {
  SettingsPreviewView,
  ShrinkageSettingsView,
  ShrinkageView,
  SizeSettingView,
} from '../../../server/contract/shrinkage.ts'
import { CALLS } from '../../data/calls.ts'
import { send } from '../../data/decide.ts'
import { type Problem, problemOf } from '../../data/http.ts'
import { shrinkageSettingsAddress } from '../../data/shrinkage-addresses.ts'
import { factorIn } from '../../data/shrinkage-state.ts'
import { timeText } from '../../words/quantities.ts'
import { termsTable } from '../../words/shrinkage-tables.ts'
import { Actions } from '../actions.tsx'
import { DataTable } from '../data-table.tsx'
import { DecisionForm } from '../decision-form.tsx'
import { ProblemNotice } from '../notice.tsx'
import { Words } from '../sentence.tsx'
import { SizeSettings } from './size-settings.tsx'

/** How sizes are taken and what a change may cost, as it is on record, and a way to decide otherwise. */
export function ShrinkageSettings({ view }: { view: ShrinkageView }) {
  const { settings, terms } = view
  return (
    <>
      <p>
        Whether bleed of the binder enlarges or narrows a size is read from its name. Look through the list: a
        size taken wrongly shows as a standing deviation of twice the offset.
      </p>
      <DataTable table={termsTable(terms)} />
      <Actions
        items={[
          {
            label: 'Change how sizes are taken, or what a change may cost',
            needs: CALLS.changeShrinkage,
            form: (close) => <SettingsForm view={view} onClose={close} />,
          },
        ]}
      />
      {settings.history.length === 0 ? (
        <p class="quiet">Nobody has changed these settings.</p>
      ) : (
        <ol class="written" reversed>
          {settings.history.map(({ version, who, at, reason }) => (
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

/** What is typed for each figure of the adjustment. */
type Typed = Readonly<Record<keyof ShrinkageSettingsView['adjustment'], string>>

const FIELDS: readonly (readonly [keyof Typed, string])[] = [
  ['leastBuilds', 'Builds measured before anything is advised'],
  ['largestStep', 'Largest change of a factor in one step'],
  ['changeCost', 'Cost of a change, in builds off by one standard deviation'],
  ['needlessCost', 'Cost of a change that was not needed, counted alike'],
  ['newestWeight', 'Weight of the newest build, 0 to 0.99; empty: found from the record'],
]

function SettingsForm({ view, onClose }: { view: ShrinkageView; onClose(): void }) {
  const { settings, partNumber } = view
  const [typed, setTyped] = useState<Typed>(() => typedOf(settings))
  const [sizes, setSizes] = useState<readonly SizeSettingView[]>(settings.sizes)
  const asked = JSON.stringify(requestOf(typed, sizes))
  const complete = FIELDS.every(([field]) => field === 'newestWeight' || factorIn(typed[field]) !== null)
  const [preview, setPreview] = useState<{ readonly of: string; readonly view: SettingsPreviewView } | null>(
    null,
  )
  const [problem, setProblem] = useState<Problem | null>(null)
  useEffect(() => {
    if (!complete) return
    let wanted = true
    send<SettingsPreviewView>(shrinkageSettingsAddress(partNumber, true), JSON.parse(asked)).then(
      (answer) => {
        if (!wanted) return
        setPreview({ of: asked, view: answer })
        setProblem(null)
      },
      (error: unknown) => {
        if (wanted) setProblem(problemOf(error))
      },
    )
    return () => {
      wanted = false
    }
  }, [asked, complete])
  return (
    <DecisionForm
      title="What is changed here governs fit and advice of this part number from now on."
      submit="Keep these settings"
      reason="Why"
      ready={complete && problem === null && preview?.of === asked}
      onClose={onClose}
      send={(signed) =>
        send(shrinkageSettingsAddress(partNumber), {
          ...requestOf(typed, sizes),
          ...signed,
          version: settings.version,
        })
      }
    >
      {FIELDS.map(([field, text]) => (
        <label class="field short" key={field}>
          {text}
          <input
            type="text"
            inputMode="decimal"
            value={typed[field]}
            onChange={(event) => setTyped({ ...typed, [field]: event.currentTarget.value })}
          />
        </label>
      ))}
      <SizeSettings sizes={sizes} onChange={setSizes} />
      <div aria-live="polite">
        {!complete && <p>Every figure but the last is needed.</p>}
        {problem !== null && <ProblemNotice problem={problem} />}
        {problem === null && complete && (
          <SettingsPreview preview={preview?.view ?? null} fresh={preview?.of === asked} />
        )}
      </div>
    </DecisionForm>
  )
}

function SettingsPreview({ preview, fresh }: { preview: SettingsPreviewView | null; fresh: boolean }) {
  if (preview === null) return <p class="quiet">Working out what they would have done …</p>
  return (
    <div class={fresh ? undefined : 'stale'}>
      <p>
        {'The advice would read: '}
        <Words sentence={preview.headline} />
      </p>
      <p class="quiet">Followed through the builds on record, it would have left:</p>
      <ul>
        {preview.axes.map(({ axis, words }) => (
          <li key={axis}>
            <Words sentence={words} />
          </li>
        ))}
        {preview.problems.map(({ missing }) => (
          <li key={missing}>{missing}</li>
        ))}
      </ul>
    </div>
  )
}

function typedOf({ adjustment }: ShrinkageSettingsView): Typed {
  const { leastBuilds, changeCost, needlessCost, largestStep, newestWeight } = adjustment
  return {
    leastBuilds: String(leastBuilds),
    changeCost: String(changeCost),
    needlessCost: String(needlessCost),
    largestStep: String(largestStep),
    newestWeight: newestWeight === null ? '' : String(newestWeight),
  }
}

function requestOf(typed: Typed, sizes: readonly SizeSettingView[]) {
  const of = (field: keyof Typed) => factorIn(typed[field])
  return {
    adjustment: {
      leastBuilds: of('leastBuilds'),
      changeCost: of('changeCost'),
      needlessCost: of('needlessCost'),
      largestStep: of('largestStep'),
      newestWeight: of('newestWeight'),
    },
    told: sizes
      .filter(({ along, sense, counts }) => along !== null || sense !== null || !counts)
      .map(({ designator, along, sense, counts }) => ({ designator, along, sense, counts })),
  }
}
