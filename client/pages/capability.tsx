import { useEffect, useState } from 'preact/hooks'
import { useRoute } from 'preact-iso'
import type { CapabilityView } from '../../server/contract/views.ts'
import { LocationSpread } from '../../src/figures/location-spread.tsx'
import { locationSpreadPoints } from '../../src/figures/location-spread-model.ts'
import { type Palette, SCREEN } from '../../src/figures/palette.ts'
import { requirementText } from '../../src/figures/requirement.ts'
import { characteristicTitle } from '../../src/words/format.ts'
import { capabilityAddress } from '../data/addresses.ts'
import { CALLS } from '../data/calls.ts'
import { capabilityState } from '../data/capability-state.ts'
import { useQuery } from '../data/query.ts'
import { useResource } from '../data/resource.ts'
import { useMay } from '../data/session.ts'
import { onReceipt } from '../data/the-intake.ts'
import { CapabilityRows } from '../parts/capability-rows.tsx'
import { CapabilityWhy } from '../parts/capability-why.tsx'
import { Choice } from '../parts/choice.tsx'
import { CorrectedIndices } from '../parts/corrected-indices.tsx'
import { CustomerRequirements } from '../parts/customer-requirements.tsx'
import { Disclosure } from '../parts/disclosure.tsx'
import { Figure } from '../parts/figure.tsx'
import { Caution, Reading } from '../parts/notice.tsx'
import { ReportForm } from '../parts/report-form.tsx'
import { Opening } from '../parts/sentence.tsx'
import { MeasuredStage } from '../parts/stage-choice.tsx'
import { useTitle } from '../parts/title.ts'
import { useWidth } from '../parts/width.ts'
import { capabilityTable } from '../words/capability-table.ts'

/** What the process can hold, with the confidence of the statement. */
export function CapabilityPage() {
  const { params, query } = useRoute()
  const key = { number: params.number ?? '', revision: params.revision ?? '' }
  useTitle(`Capability of ${key.number}, rev ${key.revision}`)
  const resource = useResource<CapabilityView>(capabilityAddress(key, capabilityState(query)))
  useEffect(() => onReceipt(resource.again), [resource.again])
  const may = useMay()
  const view = resource.value
  return (
    <>
      <Reading resource={resource} what="the capability" />
      {view !== null && (
        <div class={resource.loading ? 'stale' : undefined}>
          <Opening headline={view.headline} grounds={view.grounds} />
          <Caution />
          <Controls />
          {view.rows.length > 0 && (
            <>
              <Disclosure name="asked" title="What the customer asks">
                <CustomerRequirements partNumber={key} />
              </Disclosure>
              <Disclosure name="report" title="Make the report">
                {may(CALLS.makeReport) ? (
                  <ReportForm view={view} />
                ) : (
                  <p>Reports are made by the process engineer, supplier quality and the administrator.</p>
                )}
              </Disclosure>
              <Picture view={view} />
              <CorrectedIndices view={view} />
              <Disclosure name="why" title="How do you know?">
                <CapabilityWhy view={view} />
              </Disclosure>
            </>
          )}
        </div>
      )}
    </>
  )
}

function text(value: number | null): string {
  return value === null ? '' : String(value)
}

function Controls() {
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

function Picture({ view }: { view: CapabilityView }) {
  const [ref, width] = useWidth()
  const { rows, partNumber } = view
  const required = view.fallback.value
  const points = locationSpreadPoints(rows)
  const shown = new Set(points.map((point) => point.summary.characteristic.id))
  const absent = rows.filter((row) => !shown.has(row.characteristic.id)).map((row) => row.characteristic)
  const draw = (palette: Palette, wide: number) => (
    <LocationSpread
      rows={rows}
      required={required}
      width={wide}
      height={Math.round(Math.min(560, Math.max(360, wide * 0.9)))}
      palette={palette}
      label="Where each characteristic’s mean lies in its tolerance, against its overall sigma"
    />
  )
  return (
    <Figure
      name="capability"
      title={`${partNumber.number} rev ${partNumber.revision}, where means lie and how they scatter`}
      draw={(palette) => draw(palette, 700)}
      table={() => capabilityTable(view)}
    >
      <div class="beside-table">
        <div>
          <div ref={ref}>{width !== null && points.length > 0 && draw(SCREEN, Math.min(width, 700))}</div>
          {absent.length > 0 && (
            <p class="quiet">
              {`Not in the picture, for want of two limits: ${absent.map((each) => `${characteristicTitle(each)} (${requirementText(each)})`).join('; ')}.`}
            </p>
          )}
        </div>
        <CapabilityRows view={view} />
      </div>
    </Figure>
  )
}
