import { useEffect } from 'preact/hooks'
import { useRoute } from 'preact-iso'
import type { GaugeStudyView } from '../../server/contract/gauges.ts'
import { unitText } from '../../src/words/unit.ts'
import { driftPage, recordPage } from '../data/addresses.ts'
import { GAUGES_PAGE, gaugePage, gaugePlanPage, gaugeStudyAddress } from '../data/gauge-addresses.ts'
import { useQuery } from '../data/query.ts'
import { useResource } from '../data/resource.ts'
import { onReceipt } from '../data/the-intake.ts'
import { Disclosure } from '../parts/disclosure.tsx'
import { AgreementSection, BiasSection } from '../parts/gauges/bias-and-agreement.tsx'
import { CheckPartChart } from '../parts/gauges/check-part-chart.tsx'
import { ReadingsList } from '../parts/gauges/readings-list.tsx'
import { SpreadSection } from '../parts/gauges/spread-section.tsx'
import { StudyWhy } from '../parts/gauges/study-why.tsx'
import { Reading } from '../parts/notice.tsx'
import { Opening } from '../parts/sentence.tsx'
import { useTitle } from '../parts/title.ts'
import { PURPOSE_WORDS, placeText } from '../words/gauge-tables.ts'
import { timeText } from '../words/quantities.ts'

/** One study of a gauge: what came of it, what that rests on, and the readings themselves. */
export function GaugeStudyPage() {
  const { params } = useRoute()
  const { query } = useQuery()
  const id = Number(params.study ?? Number.NaN)
  useTitle(`Gauge study ${params.study ?? ''}`)
  const likelihood = query.method === 'likelihood'
  const interaction =
    query.interaction === 'kept' || query.interaction === 'pooled' ? query.interaction : 'tested'
  const resource = useResource<GaugeStudyView>(
    Number.isInteger(id)
      ? gaugeStudyAddress(id, {
          method: likelihood ? 'restricted maximum likelihood' : 'suited',
          interaction,
          layout: query.parts === 'own' ? 'nested' : 'crossed',
        })
      : null,
  )
  useEffect(() => onReceipt(resource.again), [resource.again])
  const view = resource.value
  return (
    <>
      <p class="back">
        <a href={GAUGES_PAGE}>All gauges</a>
      </p>
      <Reading resource={resource} what="the study" />
      {view !== null && view.id === id && (
        <div class={resource.loading ? 'stale' : undefined}>
          <Study view={view} />
        </div>
      )}
    </>
  )
}

function Study({ view }: { view: GaugeStudyView }) {
  const { gauges, on, importId, fileName, plan, purpose, spread, bias, agreement, check, missing } = view
  return (
    <>
      <p class="over-title">
        {`Study ${view.id}: ${PURPOSE_WORDS[purpose]}${on === null ? '' : `, ${placeText(on)}`}${gauges.length === 0 ? '' : `, ${gauges.join(' and ')}`}`}
      </p>
      <Opening headline={view.headline} grounds={view.grounds} />
      <p class="caution">{view.caution}</p>
      <nav class="ways" aria-label="About this study">
        {gauges.map((name) => (
          <a key={name} href={gaugePage(name)}>{`Gauge ${name}`}</a>
        ))}
        {on !== null && <a href={driftPage(on.partNumber, on.characteristic.designator)}>Control chart</a>}
        {plan !== null && <a href={gaugePlanPage(plan)}>{`Plan ${plan}`}</a>}
        <a href={recordPage(importId)}>{`File ${fileName}`}</a>
      </nav>
      {missing > 0 && (
        <p>
          {`${missing} of the planned readings ${missing === 1 ? 'is' : 'are'} missing. Nothing was filled in; the components allow for it.`}
        </p>
      )}
      {spread !== null && <SpreadSection view={view} spread={spread} />}
      {bias !== null && <BiasSection view={view} bias={bias} />}
      {agreement !== null && <AgreementSection view={view} agreement={agreement} />}
      {check !== null && (
        <section>
          <h2>Day by day</h2>
          <CheckPartChart
            check={check}
            gauge={gauges[0] ?? 'gauge not named'}
            characteristic={view.characteristic}
          />
          {gauges[0] !== undefined && (
            <p class="quiet">
              The part’s days up to this file; <a href={gaugePage(gauges[0])}>the page of the gauge</a> has
              them all.
            </p>
          )}
        </section>
      )}
      <Disclosure name="readings" title={`The ${view.readings.length} readings`}>
        <ReadingsList
          readings={view.readings}
          characteristic={view.characteristic}
          title={`Gauge study ${view.id}, readings, ${unitText(view.characteristic.unit)}`}
        />
      </Disclosure>
      <Disclosure name="why" title="How do you know?">
        <StudyWhy purpose={purpose} />
      </Disclosure>
      <p class="quiet">{`Taken in by ${view.who}, ${timeText(view.at)}.`}</p>
    </>
  )
}
