import { useEffect } from 'preact/hooks'
import { useRoute } from 'preact-iso'
import type { GaugeEntryView, GaugeView } from '../../server/contract/gauges.ts'
import type { Characteristic } from '../../src/domain/characteristic.ts'
import { formatNumber } from '../../src/words/format.ts'
import { unitText } from '../../src/words/unit.ts'
import { CALLS } from '../data/calls.ts'
import { onDecided } from '../data/decide.ts'
import { GAUGES_PAGE, gaugeAddress, PLAN_PAGE } from '../data/gauge-addresses.ts'
import { useResource } from '../data/resource.ts'
import { onReceipt } from '../data/the-intake.ts'
import { Actions } from '../parts/actions.tsx'
import { Disclosure } from '../parts/disclosure.tsx'
import { CheckPartChart } from '../parts/gauges/check-part-chart.tsx'
import { GaugeEntryForm } from '../parts/gauges/gauge-entry-form.tsx'
import { MeasuredRows } from '../parts/gauges/measured-rows.tsx'
import { StudiesTable } from '../parts/gauges/studies-table.tsx'
import { UncertaintyTable } from '../parts/gauges/uncertainty-table.tsx'
import { Reading } from '../parts/notice.tsx'
import { Opening, Words } from '../parts/sentence.tsx'
import { useTitle } from '../parts/title.ts'
import { DUE_WORDS, placeText } from '../words/gauge-tables.ts'
import { timeText } from '../words/quantities.ts'

/** One gauge: what the register says of it, what it can judge, whether it stayed where it was. */
export function GaugePage() {
  const { params } = useRoute()
  const name = params.gauge ?? ''
  useTitle(`Gauge ${name}`)
  const resource = useResource<GaugeView>(gaugeAddress(name))
  useEffect(() => onReceipt(resource.again), [resource.again])
  useEffect(() => onDecided(resource.again), [resource.again])
  const view = resource.value
  return (
    <>
      <p class="back">
        <a href={GAUGES_PAGE}>All gauges</a>
      </p>
      <Reading resource={resource} what="the gauge" />
      {view !== null && view.name === name && <Gauge view={view} />}
    </>
  )
}

function Gauge({ view }: { view: GaugeView }) {
  const { name, entries, results, checks, studies, characteristics } = view
  const entry = entries[0] ?? null
  return (
    <>
      <p class="over-title">{entry === null ? name : `${name}, ${entry.kind}`}</p>
      <Opening headline={view.headline} grounds={view.grounds} />
      <nav class="ways" aria-label="About this gauge">
        <a href={`${PLAN_PAGE}?gauge=${encodeURIComponent(name)}`}>Plan a study of it</a>
      </nav>
      <section>
        <h2>In the register</h2>
        {entry === null ? (
          <p class="quiet">Nothing is said of it yet: files of measurements or of studies name it.</p>
        ) : (
          <EntryFacts entry={entry} state={view.state} />
        )}
        <Actions
          items={[
            {
              label: entry === null ? 'Enter it in the register' : 'Say something new of it',
              needs: CALLS.enterGauge,
              form: (close) => (
                <GaugeEntryForm
                  key={entry?.version ?? 0}
                  name={name}
                  entry={entry}
                  places={characteristics}
                  onClose={close}
                />
              ),
            },
          ]}
        />
        {entries.length > 0 && (
          <Disclosure name="history" title="What was said of it before">
            <ol class="written" reversed>
              {entries.map((each) => (
                <li key={each.version} value={each.version}>
                  <p>
                    {`${entryText(each)} `}
                    <span class="quiet">{`${each.who}, ${timeText(each.at)}`}</span>
                  </p>
                  <p>{each.reason}</p>
                </li>
              ))}
            </ol>
          </Disclosure>
        )}
      </section>
      {results.length > 0 && (
        <section>
          <h2>What it can judge</h2>
          <MeasuredRows rows={results} caption={`How finely ${name} measures`} />
          <Disclosure name="uncertainty" title="What its uncertainty is made of">
            {results.map(
              ({ characteristic, partNumber, uncertainty }) =>
                uncertainty !== null && (
                  <UncertaintyTable
                    key={characteristic.id}
                    title={placeText({ characteristic, partNumber })}
                    uncertainty={uncertainty}
                    characteristic={characteristic}
                  />
                ),
            )}
          </Disclosure>
        </section>
      )}
      {checks.map((check) => (
        <section key={`${check.part} ${check.on?.characteristic.id}`}>
          <h2>{`Check part ${check.part}`}</h2>
          <p class="lead">
            <Words sentence={check.headline} />
          </p>
          <p class="quiet">
            <Words sentence={check.grounds} />
          </p>
          <CheckPartChart check={check} gauge={name} characteristic={check.on?.characteristic ?? UNNAMED} />
        </section>
      ))}
      {checks.length === 0 && (
        <p class="quiet">
          No check part is on record. One part measured again and again, with the headings check part, gauge,
          date and value, shows whether the gauge stays where it was.
        </p>
      )}
      <section>
        <h2>Studies</h2>
        {studies.length === 0 ? (
          <p class="quiet">No study of it is on record.</p>
        ) : (
          <StudiesTable studies={studies} caption={`Studies of ${name}, newest first`} />
        )}
      </section>
    </>
  )
}

/** For a check part that no characteristic is named of. */
const UNNAMED: Characteristic = {
  id: 0,
  designator: '',
  name: '',
  kind: 'other',
  nominal: null,
  lower: null,
  upper: null,
  unit: 'mm',
  axis: null,
}

function EntryFacts({ entry, state }: { entry: GaugeEntryView; state: GaugeView['state'] }) {
  const { resolution, certificate, due, measures } = entry
  const unit = unitText(entry.unit)
  return (
    <dl class="facts">
      <dt>Due</dt>
      <dd class={state === 'overdue' ? 'said-mark' : undefined}>
        {`${due ?? 'no date'}${state === null ? '' : `, ${DUE_WORDS[state]}`}`}
      </dd>
      <dt>Resolution</dt>
      <dd>{resolution === null ? 'not known' : `${resolution} ${unit}`}</dd>
      <dt>Calibration</dt>
      <dd>
        {certificate === null
          ? 'no certificate on record'
          : `${certificate.date}, U = ${certificate.expanded} ${unit} with k = ${formatNumber(certificate.coverageFactor, 2)}${certificate.number === '' ? '' : `, certificate ${certificate.number}`}`}
      </dd>
      <dt>Measures</dt>
      <dd>{measures.length === 0 ? 'nothing named' : measures.map(placeText).join('; ')}</dd>
    </dl>
  )
}

function entryText({ kind, resolution, unit, certificate, due, measures, inUse }: GaugeEntryView): string {
  const facts = [
    kind,
    ...(resolution === null ? [] : [`resolution ${resolution} ${unitText(unit)}`]),
    ...(certificate === null
      ? []
      : [`calibrated ${certificate.date}, U = ${certificate.expanded} ${unitText(unit)}`]),
    ...(due === null ? [] : [`due ${due}`]),
    `${measures.length} characteristics`,
    ...(inUse ? [] : ['laid by']),
  ]
  return `${facts.join('; ')}.`
}
