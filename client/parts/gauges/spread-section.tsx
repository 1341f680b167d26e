import type { GaugeStudyView, SpreadView } from '../../../server/contract/gauges.ts'
import { SpreadLadder } from '../../../src/figures/spread-ladder.tsx'
import { StudyReadings } from '../../../src/figures/study-readings.tsx'
import { studyReadingsModel } from '../../../src/figures/study-readings-model.ts'
import { misjudgedWords } from '../../../src/gauges/misjudged-words.ts'
import { missingReadings, missingWords } from '../../../src/gauges/missing-readings.ts'
import { COMPONENTS } from '../../../src/gauges/study-model.ts'
import { formatNumber, meanDecimals, valueDecimals } from '../../../src/words/format.ts'
import { unitText } from '../../../src/words/unit.ts'
import { useQuery } from '../../data/query.ts'
import {
  analysisTable,
  COMPONENT_WORDS,
  componentsTable,
  percentText,
  rangesTable,
  readingsTable,
} from '../../words/gauge-tables.ts'
import { Choice } from '../choice.tsx'
import { DataTable } from '../data-table.tsx'
import { Disclosure } from '../disclosure.tsx'
import { StillFigure } from '../still-figure.tsx'
import { UncertaintyTable } from './uncertainty-table.tsx'

const NO_RANGES = {
  'missing readings': 'Not every inspector measured every part equally often, which average and range needs.',
  'one trial': 'No reading was repeated, which average and range needs.',
  'one part': 'There is one part only; average and range needs two.',
} as const

interface SpreadSectionProps {
  readonly view: GaugeStudyView
  readonly spread: SpreadView
}

/** What is spread by what: by the method that the reader chooses. */
export function SpreadSection({ view, spread }: SpreadSectionProps) {
  const { query, change } = useQuery()
  const method = query.method === 'likelihood' || query.method === 'ranges' ? query.method : 'variance'
  const interaction =
    query.interaction === 'kept' || query.interaction === 'pooled' ? query.interaction : 'tested'
  const missing = spread.study.layout === 'crossed' ? missingReadings(view.readings) : []
  const several = spread.study.inspectors.length > 1
  const crossed = spread.study.layout === 'crossed'
  const balanced = (crossed && spread.study.trials !== null) || spread.study.method === 'analysis of variance'
  return (
    <>
      <div class="controls">
        <Choice
          legend="By"
          name="method"
          value={method}
          options={[
            { value: 'variance', text: balanced ? 'analysis of variance' : 'what suits' },
            { value: 'likelihood', text: 'restricted maximum likelihood' },
            { value: 'ranges', text: 'average and range' },
          ]}
          onPick={(picked) => change({ method: picked === 'variance' ? null : picked })}
        />
        {method !== 'ranges' && several && (
          <Choice
            legend="Parts of one name"
            name="parts"
            value={query.parts === 'own' ? 'own' : 'same'}
            options={[
              { value: 'same', text: 'are the same part' },
              { value: 'own', text: 'are each inspector’s own' },
            ]}
            onPick={(picked) => change({ parts: picked === 'own' ? 'own' : null })}
          />
        )}
        {method !== 'ranges' && crossed && (
          <Choice
            legend="Inspectors on some parts only"
            name="interaction"
            value={interaction}
            options={[
              { value: 'tested', text: 'as the test says' },
              { value: 'kept', text: 'kept' },
              { value: 'pooled', text: 'pooled' },
            ]}
            onPick={(picked) => change({ interaction: picked === 'tested' ? null : picked })}
          />
        )}
      </div>
      {missing.length > 0 && <p>{missingWords(missing)}</p>}
      {method === 'ranges' ? (
        <Ranges view={view} spread={spread} />
      ) : (
        <Components view={view} spread={spread} />
      )}
      <ReadingsFigure view={view} />
      <Facts view={view} spread={spread} />
    </>
  )
}

function Components({ view, spread }: SpreadSectionProps) {
  const { study } = spread
  const { characteristic } = view
  const unit = unitText(characteristic.unit)
  const decimals = meanDecimals(characteristic)
  const width =
    characteristic.lower === null || characteristic.upper === null
      ? null
      : characteristic.upper - characteristic.lower
  const rows = COMPONENTS.flatMap((name) => {
    const component = study.components[name]
    // What all inspectors add is the one component again where there is no interaction.
    const twice = name === 'reproducibility' && study.components.interaction === null
    return component === null || twice
      ? []
      : [{ name: COMPONENT_WORDS[name], sd: component.sd, strong: name === 'gauge' }]
  })
  if (rows.length === 0) return null
  const title = `Gauge study ${view.id}, what is spread by what`
  return (
    <section>
      <h2>What is spread by what</h2>
      <StillFigure
        name="components"
        title={title}
        draw={(palette, wide) => (
          <SpreadLadder
            rows={rows}
            bounds={width === null ? null : [width / 60, width / 20]}
            unit={unit}
            decimals={decimals}
            width={Math.min(wide, 1000)}
            palette={palette}
            label="Components of the spread as standard deviations with their intervals"
          />
        )}
        table={() => componentsTable(spread, unit, decimals)}
        from={[view]}
      />
      <DataTable table={componentsTable(spread, unit, decimals)} />
      {study.analysis.length > 0 && (
        <Disclosure name="analysis" title="Analysis of variance">
          <DataTable table={analysisTable(study)} />
          <p class="quiet">{interactionWords(spread)}</p>
        </Disclosure>
      )}
    </section>
  )
}

function interactionWords({ study }: SpreadView): string {
  if (study.layout === 'nested') {
    return 'Inspectors are tested against the parts, which are each inspector’s own, and parts against repeated readings.'
  }
  const line = study.analysis.find(({ source }) => source === 'interaction')
  if (study.interaction === null || line === undefined || line.p === null) {
    return 'Whether inspectors differ on some parts only cannot be tested here.'
  }
  return `Whether inspectors differ on some parts only is tested by F at level 0.25, a lax level since it decides on pooling (common practice): p = ${formatNumber(line.p, 3)}, so that it is ${study.interaction}${study.interaction === 'pooled' ? ' with the repeated readings' : ''}.`
}

function Ranges({ view, spread }: SpreadSectionProps) {
  const { averageAndRange } = spread
  const { characteristic } = view
  const unit = unitText(characteristic.unit)
  const width =
    characteristic.lower === null || characteristic.upper === null
      ? null
      : characteristic.upper - characteristic.lower
  return (
    <section>
      <h2>What is spread by what</h2>
      {'reason' in averageAndRange ? (
        <p>{NO_RANGES[averageAndRange.reason]}</p>
      ) : (
        <>
          <DataTable table={rangesTable(averageAndRange, width, unit, meanDecimals(characteristic))} />
          <p class="quiet">
            {`For customers who ask for it: it leaves out whether inspectors differ on some parts only, and gives no intervals. ${
              averageAndRange.categories === null
                ? ''
                : `It tells ${Math.floor(averageAndRange.categories)} groups of parts apart.`
            } The sentence above stays by the other methods.`}
          </p>
        </>
      )}
    </section>
  )
}

function ReadingsFigure({ view }: { view: GaugeStudyView }) {
  const { characteristic, readings } = view
  const model = studyReadingsModel(readings)
  if (model.reach === 0) return null
  const unit = unitText(characteristic.unit)
  const title = `Gauge study ${view.id}, readings around each part`
  return (
    <section>
      <h2>Readings around each part</h2>
      <StillFigure
        name="around"
        title={title}
        draw={(palette, width) => (
          <StudyReadings
            model={model}
            unit={unit}
            decimals={valueDecimals(characteristic)}
            width={Math.min(width, 1200)}
            palette={palette}
            label="Readings of every inspector around the mean of each part"
          />
        )}
        table={() => readingsTable(readings, unit, valueDecimals(characteristic))}
        from={[view.readings]}
      />
    </section>
  )
}

function Facts({ view, spread }: SpreadSectionProps) {
  const { study, step, resolution, misjudged, uncertainty } = spread
  const { characteristic } = view
  const share = study.gaugeShareOfSpread
  return (
    <section>
      <h2>What follows</h2>
      <ul>
        {share !== null && (
          <li>
            {`Of the spread that is seen the gauge takes ${percentText(share.value)} (${percentText(share.lower)} to ${share.upper === null ? 'no upper limit' : percentText(share.upper)}), as standard deviations.`}
          </li>
        )}
        {resolution === null ? (
          <li class="quiet">The register does not say what step the gauge shows.</li>
        ) : (
          step !== null && (
            <li>
              {`It shows steps of ${resolution} ${unitText(characteristic.unit)}: ${[
                ...(step.shareOfSpread === null
                  ? []
                  : [`${percentText(step.shareOfSpread)} of six standard deviations of what is seen`]),
                ...(step.shareOfTolerance === null
                  ? []
                  : [`${percentText(step.shareOfTolerance)} of the tolerance`]),
              ].join(
                ', ',
              )}; ${step.fine === false ? 'more than the tenth that is asked for' : 'within the tenth that is asked for'} (common practice).`}
            </li>
          )
        )}
        <li>
          {misjudged === null
            ? 'What share of parts it misjudges cannot be told: sintered parts and limits are needed, and parts that differ by more than the gauge.'
            : misjudgedWords(misjudged)}
        </li>
      </ul>
      {uncertainty !== null && view.on !== null && (
        <Disclosure name="uncertainty" title="Uncertainty of measuring">
          <UncertaintyTable
            title={characteristic.name || characteristic.designator}
            uncertainty={uncertainty}
            characteristic={characteristic}
          />
        </Disclosure>
      )}
    </section>
  )
}
