import { useEffect } from 'preact/hooks'
import { useRoute } from 'preact-iso'
import type { GaugePlanView } from '../../server/contract/gauges.ts'
import { requirementText } from '../../src/figures/requirement.ts'
import { unitText } from '../../src/words/unit.ts'
import {
  GAUGES_PAGE,
  gaugePage,
  gaugePlanAddress,
  gaugeSheetAddress,
  gaugeStudyPage,
} from '../data/gauge-addresses.ts'
import { useResource } from '../data/resource.ts'
import { onReceipt } from '../data/the-intake.ts'
import { Reading } from '../parts/notice.tsx'
import { useTitle } from '../parts/title.ts'
import { placeText } from '../words/gauge-tables.ts'
import { dayText } from '../words/quantities.ts'

/** The measuring sheet of a plan: to be printed, or saved and brought back. */
export function GaugePlanPage() {
  const { params } = useRoute()
  const number = Number(params.plan ?? Number.NaN)
  useTitle(`Measuring sheet, plan ${params.plan ?? ''}`)
  const resource = useResource<GaugePlanView>(Number.isInteger(number) ? gaugePlanAddress(number) : null)
  useEffect(() => onReceipt(resource.again), [resource.again])
  const view = resource.value
  return (
    <>
      <p class="back">
        <a href={GAUGES_PAGE}>All gauges</a>
      </p>
      <Reading resource={resource} what="the plan" />
      {view !== null && view.number === number && <Sheet view={view} />}
    </>
  )
}

function Sheet({ view }: { view: GaugePlanView }) {
  const { number, gauge, on, lines, seed, who, at, studyId, partNames, inspectorNames, trials } = view
  const unit = on === null ? '' : `, ${unitText(on.characteristic.unit)}`
  return (
    <>
      <header class="opening">
        <h1>
          {studyId === null ? (
            <>
              {`Plan ${number}: `}
              <span class="said-strong">{`${lines.length} readings`}</span>
              {' to be taken in this order.'}
            </>
          ) : (
            <>
              {`Plan ${number} `}
              <span class="said-strong">was measured</span>
              {'.'}
            </>
          )}
        </h1>
        <p class="grounds">
          {`${partNames.length} parts, ${inspectorNames.length} inspectors, ${trials} trials. Planned by ${who}, ${dayText(at)}; order from seed ${seed}.`}
        </p>
      </header>
      <dl class="facts">
        <dt>Gauge</dt>
        <dd>{gauge === null ? 'not named' : <a href={gaugePage(gauge)}>{gauge}</a>}</dd>
        <dt>Characteristic</dt>
        <dd>
          {on === null
            ? 'not named'
            : `${placeText(on)}, ${requirementText(on.characteristic)} ${unitText(on.characteristic.unit)}`}
        </dd>
      </dl>
      <div class="actions away">
        {studyId !== null && <a href={gaugeStudyPage(studyId)}>{`Open study ${studyId}`}</a>}
        <a href={gaugeSheetAddress(number)} download>
          Save the sheet as CSV
        </a>
        <button type="button" class="plain" onClick={() => window.print()}>
          Print the sheet
        </button>
        <a href="/intake">Bring the filled sheet</a>
      </div>
      <p class="quiet">
        Measure in this order, write every reading as the gauge shows it, and look at no earlier one. The CSV
        names its plan in every row: Intake knows it again and brings the study here.
      </p>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard */}
      <section class="scroll" aria-label="Measuring sheet" tabIndex={0}>
        <table class="list sheet">
          <caption class="unseen">Measuring sheet</caption>
          <thead>
            <tr>
              <th scope="col" class="number">
                order
              </th>
              <th scope="col" class="number">
                trial
              </th>
              <th scope="col">inspector</th>
              <th scope="col">part</th>
              <th scope="col">{`reading${unit}`}</th>
            </tr>
          </thead>
          <tbody>
            {lines.map(({ order, trial, inspector, part }) => (
              <tr key={order}>
                <td class="number">{order}</td>
                <td class="number">{trial}</td>
                <td>{inspector}</td>
                <td>{part}</td>
                <td class="blank" />
              </tr>
            ))}
          </tbody>
        </table>
      </section>
    </>
  )
}
