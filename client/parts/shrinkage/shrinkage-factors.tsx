import { Fragment } from 'preact'
import type { PredictionView, ShrinkageView } from '../../../server/contract/shrinkage.ts'
import type { ScaleFactors } from '../../../src/domain/build.ts'
import { changedQuery, useQuery } from '../../data/query.ts'
import type { Resource } from '../../data/resource.ts'
import { shrinkagePage } from '../../data/shrinkage-addresses.ts'
import { shrinkageState } from '../../data/shrinkage-state.ts'
import { predictionsTable } from '../../words/factor-tables.ts'
import { Reading } from '../notice.tsx'
import { SaveTable } from '../save-table.tsx'
import { FactorActions } from './factor-decisions.tsx'
import { FactorsForm, PredictionTable } from './factor-prediction.tsx'

/** Factors present, advised and tried, and what every size is expected to be under them. */
export function Factors({ view, prediction }: { view: ShrinkageView; prediction: Resource<PredictionView> }) {
  const { query } = useQuery()
  const { tried } = shrinkageState(query)
  const { present, advised, source } = view.factors
  const set = tried ?? advised
  const changed = set.x !== present.x || set.y !== present.y || set.z !== present.z
  const predictions = tried === null ? view.predictions : (prediction.value?.predictions ?? view.predictions)
  const fresh = tried === null || prediction.value !== null
  return (
    <section>
      <h2>Scale factors, and what to expect of them</h2>
      {source !== null && (
        <p class="quiet">
          {'build' in source
            ? `The present factors are those of build ${source.build}, the last one printed.`
            : `The present factors are those of decision ${source.decision}, which no build on record is printed with yet.`}
        </p>
      )}
      <FactorsForm view={view} set={set} />
      {tried !== null && <Reading resource={prediction} what="the prediction" />}
      {prediction.problem === null && (
        <div class={fresh ? undefined : 'stale'}>
          <PredictionTable predictions={predictions} changed={changed} />
          <SaveTable
            title={`${view.partNumber.number}, what to expect`}
            table={() => predictionsTable(predictions)}
          />
        </div>
      )}
      <p class="quiet">
        {predictionNote(
          predictions.some(({ worse }) => worse === true),
          changed,
        )}
      </p>
      {view.sharing.length > 0 && <Sharing view={view} set={set} />}
      {prediction.problem === null && <FactorActions view={view} set={set} />}
    </section>
  )
}

/** What else is printed in these builds, with a way to see there what the same factors do. */
function Sharing({ view, set }: { view: ShrinkageView; set: ScaleFactors }) {
  const query = changedQuery({}, { x: asked(set.x), y: asked(set.y), z: asked(set.z) })
  return (
    <p>
      {'The latest builds also hold '}
      {view.sharing.map((each, i) => (
        <Fragment key={each.id}>
          {i > 0 && ', '}
          <a href={`${shrinkagePage(each)}${query}`}>{`${each.number}, rev ${each.revision}`}</a>
        </Fragment>
      ))}
      {
        '. Where a factor is set for a whole build, it reaches these parts too: look at them with the same factors.'
      }
    </p>
  )
}

function asked(factor: number | null): string | null {
  return factor === null ? null : String(factor)
}

function predictionNote(anyWorse: boolean, changed: boolean): string {
  const basis =
    'Fractions outside are for single parts of many builds to come, by the normal distribution. ± and (from to) are 95 % intervals.'
  if (!changed)
    return `No other factors are advised or typed in, so that only the present ones are shown. ${basis}`
  return anyWorse
    ? `Characteristics marked worse will have more parts outside than now: one factor serves all sizes of an axis. ${basis}`
    : `No characteristic gets worse. ${basis}`
}
