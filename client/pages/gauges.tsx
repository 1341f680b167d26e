import { useEffect } from 'preact/hooks'
import type { GaugeRow, GaugesView, MeasuredRow, PlanRow } from '../../server/contract/gauges.ts'
import { capitalise, countWord } from '../../src/words/format.ts'
import { CALLS } from '../data/calls.ts'
import { onDecided } from '../data/decide.ts'
import {
  GAUGES_ADDRESS,
  gaugePage,
  gaugePlanPage,
  gaugeStudyPage,
  PLAN_PAGE,
} from '../data/gauge-addresses.ts'
import { useResource } from '../data/resource.ts'
import { onReceipt } from '../data/the-intake.ts'
import { Actions } from '../parts/actions.tsx'
import { Disclosure } from '../parts/disclosure.tsx'
import { saveTable } from '../parts/figure.tsx'
import { GaugeEntryForm } from '../parts/gauges/gauge-entry-form.tsx'
import { MeasuredRows } from '../parts/gauges/measured-rows.tsx'
import { StudiesTable } from '../parts/gauges/studies-table.tsx'
import { Caution, Reading } from '../parts/notice.tsx'
import { Opening } from '../parts/sentence.tsx'
import { useTitle } from '../parts/title.ts'
import { DUE_WORDS, gaugesTable, measuredTable, placeText } from '../words/gauge-tables.ts'
import { dayText } from '../words/quantities.ts'

/** What can be judged with the gauges at hand, which of them are overdue, and what was studied and planned. */
export function GaugesPage() {
  useTitle('Gauges')
  const resource = useResource<GaugesView>(GAUGES_ADDRESS)
  useEffect(() => onReceipt(resource.again), [resource.again])
  useEffect(() => onDecided(resource.again), [resource.again])
  const view = resource.value
  return (
    <>
      <Reading resource={resource} what="the gauges" />
      {view !== null && <Gauges view={view} />}
    </>
  )
}

function Gauges({ view }: { view: GaugesView }) {
  const rows = inOrderOfKnowledge(view.characteristics)
  const judged = rows.filter(({ judgement }) => judgement !== null)
  const places = view.characteristics.map(({ characteristic, partNumber }) => ({
    characteristic,
    partNumber,
  }))
  return (
    <>
      <Opening headline={view.headline} grounds={view.grounds} />
      <Caution />
      <nav class="ways" aria-label="About gauges">
        <a href={PLAN_PAGE}>Plan a study</a>
        <a href="/intake">Bring a study, or a list of gauges</a>
      </nav>
      {rows.length > 0 && (
        <section>
          <h2>What can be judged</h2>
          {judged.length > 0 && (
            <MeasuredRows rows={judged} caption="How finely characteristics are measured" />
          )}
          {judged.length < rows.length && (
            <Disclosure
              name="unstudied"
              title={`${capitalise(countWord(rows.length - judged.length))} that nobody has studied`}
            >
              <MeasuredRows
                rows={rows.filter(({ judgement }) => judgement === null)}
                caption="Characteristics without a study"
              />
            </Disclosure>
          )}
          <p class="quiet">
            Up to a tenth of the tolerance the gauge is fine enough, up to three tenths usable with care,
            beyond that too coarse (common practice). A filled mark is settled by its interval.
          </p>
          <SaveTable title="Gauges, what can be judged" table={() => measuredTable(rows)} />
        </section>
      )}
      <section>
        <h2>Gauges</h2>
        {view.gauges.length === 0 ? (
          <p class="quiet">
            No gauge is on record: neither the register nor a file of measurements names one.
          </p>
        ) : (
          <GaugeTable gauges={view.gauges} />
        )}
        <div class="actions">
          <Actions
            items={[
              {
                label: 'Enter a gauge',
                needs: CALLS.enterGauge,
                form: (close) => <GaugeEntryForm name={null} entry={null} places={places} onClose={close} />,
              },
            ]}
          />
          {view.gauges.length > 0 && (
            <button type="button" class="plain" onClick={() => saveTable(gaugesTable(view), 'Gauges')}>
              Save the table as CSV
            </button>
          )}
        </div>
      </section>
      <section>
        <h2>Studies</h2>
        {view.studies.length === 0 ? (
          <p class="quiet">
            No study is on record. <a href={PLAN_PAGE}>Plan one</a>, measure by its sheet, and bring the sheet
            to the intake; or bring any file with the headings part, inspector, trial and value.
          </p>
        ) : (
          <StudiesTable studies={view.studies} caption="Studies of gauges, newest first" />
        )}
      </section>
      {view.plans.length > 0 && (
        <section>
          <h2>Plans</h2>
          <PlanTable plans={view.plans} />
        </section>
      )}
    </>
  )
}

/** Judged ones first, then those with an uncertainty, each in the order of their drawings. */
function inOrderOfKnowledge(rows: readonly MeasuredRow[]): MeasuredRow[] {
  const rank = ({ judgement, uncertainty }: MeasuredRow) =>
    judgement !== null ? 0 : uncertainty !== null ? 1 : 2
  return rows.toSorted((a, b) => rank(a) - rank(b))
}

function GaugeTable({ gauges }: { gauges: readonly GaugeRow[] }) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard
    <section class="scroll" aria-label="Gauges" tabIndex={0}>
      <table class="list">
        <caption class="unseen">Gauges</caption>
        <thead>
          <tr>
            <th scope="col">gauge</th>
            <th scope="col">kind</th>
            <th scope="col">due</th>
            <th scope="col">state</th>
            <th scope="col">measures</th>
            <th scope="col">last study</th>
          </tr>
        </thead>
        <tbody>
          {gauges.map(({ name, kind, due, state, measures, lastStudy }) => (
            <tr key={name}>
              <th scope="row">
                <a href={gaugePage(name)}>{name}</a>
              </th>
              <td>{kind ?? '–'}</td>
              <td class="time">{due ?? '–'}</td>
              <td class={state === 'overdue' ? 'said-mark' : undefined}>
                {state === null ? 'not registered' : DUE_WORDS[state]}
              </td>
              <td class="wrapped">{measuresText(measures)}</td>
              <td>
                {lastStudy === null ? (
                  '–'
                ) : (
                  <a
                    href={gaugeStudyPage(lastStudy.id)}
                  >{`study ${lastStudy.id}, ${dayText(lastStudy.at)}`}</a>
                )}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}

/** "HB-204 C: 1, 2; LV-310 B: 4". */
function measuresText(measures: GaugeRow['measures']): string {
  const byDrawing = new Map<string, string[]>()
  for (const { partNumber, characteristic } of measures) {
    const drawing = `${partNumber.number} ${partNumber.revision}`
    byDrawing.set(drawing, [...(byDrawing.get(drawing) ?? []), characteristic.designator])
  }
  if (byDrawing.size === 0) return '–'
  return [...byDrawing].map(([drawing, designators]) => `${drawing}: ${designators.join(', ')}`).join('; ')
}

function PlanTable({ plans }: { plans: readonly PlanRow[] }) {
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard
    <section class="scroll" aria-label="Plans of studies, newest first" tabIndex={0}>
      <table class="list">
        <caption class="unseen">Plans of studies, newest first</caption>
        <thead>
          <tr>
            <th scope="col">plan</th>
            <th scope="col">gauge</th>
            <th scope="col">characteristic</th>
            <th scope="col">readings</th>
            <th scope="col">planned</th>
            <th scope="col">measured</th>
          </tr>
        </thead>
        <tbody>
          {plans.map(({ number, gauge, on, parts, inspectors, trials, who, at, studyId }) => (
            <tr key={number}>
              <th scope="row">
                <a href={gaugePlanPage(number)}>{`plan ${number}`}</a>
              </th>
              <td>{gauge ?? 'not named'}</td>
              <td>{on === null ? 'not named' : placeText(on)}</td>
              <td>{`${parts} parts × ${inspectors} inspectors × ${trials} trials = ${parts * inspectors * trials}`}</td>
              <td>{`${who}, ${dayText(at)}`}</td>
              <td>
                {studyId === null ? 'not yet' : <a href={gaugeStudyPage(studyId)}>{`study ${studyId}`}</a>}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}

function SaveTable({ title, table }: { title: string; table: () => Parameters<typeof saveTable>[0] }) {
  return (
    <p class="actions">
      <button type="button" class="plain" onClick={() => saveTable(table(), title)}>
        Save the table as CSV
      </button>
    </p>
  )
}
