import { Fragment } from 'preact'
import { useEffect } from 'preact/hooks'
import { useRoute } from 'preact-iso'
import type { PredictionView, SharesView, ShrinkageView } from '../../server/contract/shrinkage.ts'
import type { ScaleFactors } from '../../src/domain/build.ts'
import type { Axis } from '../../src/domain/characteristic.ts'
import { ReplayChart } from '../../src/figures/replay-chart.tsx'
import { SharesChart, sharesWords } from '../../src/figures/shares-chart.tsx'
import { timelineLayout } from '../../src/figures/timeline-layout.ts'
import { replayWords } from '../../src/shrinkage/replay-words.ts'
import { formatCount, formatNumber } from '../../src/words/format.ts'
import { driftPage } from '../data/addresses.ts'
import { onDecided } from '../data/decide.ts'
import { windowChoices, windowOf } from '../data/drift-state.ts'
import { changedQuery, useQuery } from '../data/query.ts'
import { type Resource, useResource } from '../data/resource.ts'
import {
  predictionAddress,
  sharesAddress,
  shrinkageAddress,
  shrinkagePage,
} from '../data/shrinkage-addresses.ts'
import { firstAxis, shrinkageState } from '../data/shrinkage-state.ts'
import { onReceipt } from '../data/the-intake.ts'
import { Choice } from '../parts/choice.tsx'
import { DataTable } from '../parts/data-table.tsx'
import { Disclosure } from '../parts/disclosure.tsx'
import { FactorActions, FactorDecisions } from '../parts/factor-decisions.tsx'
import { FactorsForm, PredictionTable } from '../parts/factor-prediction.tsx'
import { saveTable } from '../parts/figure.tsx'
import { Reading } from '../parts/notice.tsx'
import { Opening, Words } from '../parts/sentence.tsx'
import { AnisotropyCharts, anisotropyWords, ShrinkageCharts } from '../parts/shrinkage-charts.tsx'
import { ShrinkageWhy } from '../parts/shrinkage-why.tsx'
import { StillFigure } from '../parts/still-figure.tsx'
import { useTitle } from '../parts/title.ts'
import {
  expectedTable,
  greenTable,
  predictionsTable,
  REPLAY_RULES,
  replayTable,
  sharesTable,
  termsTable,
} from '../words/shrinkage-tables.ts'

/** Whether to change a scale factor or to leave it, what that rests on, and what came of earlier decisions. */
export function ShrinkagePage() {
  const { params } = useRoute()
  const key = { number: params.number ?? '', revision: params.revision ?? '' }
  useTitle(`Shrinkage of ${key.number}, rev ${key.revision}`)
  const resource = useResource<ShrinkageView>(shrinkageAddress(key))
  useEffect(() => onReceipt(resource.again), [resource.again])
  useEffect(() => onDecided(resource.again), [resource.again])
  const view = resource.value
  return (
    <>
      <Reading resource={resource} what="shrinkage" />
      {view !== null && (
        <div class={view.partNumber.number === key.number ? undefined : 'stale'}>
          <Opening headline={view.headline} grounds={[]} />
          <ul class="ground-lines">
            {view.groundLines.map((line, i) => (
              // Lines have no name of their own and never change places.
              <li key={i}>
                <Words sentence={line} />
              </li>
            ))}
          </ul>
          <p class="caution">
            <Words sentence={view.caution} />
          </p>
          <InTheWay view={view} />
          {view.builds.length > 0 && <Shrinkage view={view} />}
        </div>
      )}
    </>
  )
}

/** What keeps a correction back, and what the record lacks. */
function InTheWay({ view }: { view: ShrinkageView }) {
  return (
    <>
      {view.obstacles.length > 0 && (
        <section>
          <h2>What stands in the way</h2>
          <ul>
            {view.obstacles.map(({ axis, words, designator }) => (
              <li key={axis}>
                {words}{' '}
                {designator !== null && (
                  <a href={driftPage(view.partNumber, designator)}>Open its longest size on the drift page</a>
                )}
              </li>
            ))}
          </ul>
        </section>
      )}
      {view.problems.length > 0 && (
        <section>
          <h2>What the record lacks</h2>
          <ul>
            {view.problems.map(({ missing, still }) => (
              <li key={missing}>
                {missing} <span class="quiet">{still}</span>
              </li>
            ))}
          </ul>
        </section>
      )}
    </>
  )
}

function Shrinkage({ view }: { view: ShrinkageView }) {
  const { query } = useQuery()
  const { tried, axis: asked, builds } = shrinkageState(query)
  const axis = asked ?? firstAxis(view)
  const span = windowOf(view.builds.length, builds)
  const prediction = useResource<PredictionView>(
    tried === null ? null : predictionAddress(view.partNumber, tried),
  )
  return (
    <>
      <Factors view={view} prediction={prediction} />
      <section>
        <h2>Decisions taken</h2>
        <FactorDecisions decisions={view.decisions} />
      </section>
      <section>
        <h2>Build by build</h2>
        <ChartControls view={view} axis={axis} />
        {view.axes.map(
          (each) => each.axis === axis && <ShrinkageCharts key={axis} view={view} axis={each} span={span} />,
        )}
        <Disclosure name="anisotropy" title="How axes differ">
          <p>{anisotropyWords(view)}</p>
          <AnisotropyCharts view={view} span={span} />
        </Disclosure>
      </section>
      <ReplaySection view={view} axis={axis} />
      <Shares view={view} axis={axis} />
      <Awaited view={view} />
      <Disclosure name="green" title="Limits for the green part">
        <p>
          {`A green part at the aim sinters to nominal on average, with the factors left aside. Between the guarded limits it sinters to within the drawing with a probability of ${formatNumber(100 * view.greenProbability, 1)} % or more at either end; where a guarded limit is missing, builds and parts scatter too much for any green limit to promise that.`}
        </p>
        <DataTable table={greenTable(view)} />
        <SaveTable title={`${view.partNumber.number}, green limits`} table={() => greenTable(view)} />
      </Disclosure>
      <Disclosure name="terms" title="How each size is taken">
        <p>
          Whether bleed of the binder enlarges or narrows a size is read from its name. Look through the list:
          a size taken wrongly shows as a standing deviation of twice the offset.
        </p>
        <DataTable table={termsTable(view.terms)} />
      </Disclosure>
      <Disclosure name="why" title="How do you know?">
        <ShrinkageWhy view={view} />
      </Disclosure>
    </>
  )
}

function Factors({ view, prediction }: { view: ShrinkageView; prediction: Resource<PredictionView> }) {
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

function ChartControls({ view, axis }: { view: ShrinkageView; axis: Axis }) {
  const { query, change } = useQuery()
  const { builds } = shrinkageState(query)
  const choices = windowChoices(view.builds.length)
  const shown = builds === null || builds >= view.builds.length ? 'all' : String(builds)
  return (
    <div class="controls">
      <Choice
        legend="Axis"
        name="axis"
        value={axis}
        options={(['X', 'Y', 'Z'] as const).map((each) => ({ value: each, text: each }))}
        onPick={(each) => change({ axis: each })}
      />
      {choices.length > 1 && (
        <Choice
          legend="Builds"
          name="builds"
          value={shown}
          options={choices.map((count) =>
            count === null
              ? { value: 'all', text: `all ${view.builds.length}` }
              : { value: String(count), text: `last ${count}` },
          )}
          onPick={(each) => change({ builds: each })}
        />
      )}
    </div>
  )
}

function ReplaySection({ view, axis }: { view: ShrinkageView; axis: Axis }) {
  const chosen = view.axes.find((each) => each.axis === axis)
  const replay = chosen?.replay ?? null
  if (chosen === undefined || replay === null) return null
  const to = view.builds.length - 1
  const from = replay.positions[replay.from] ?? 0
  const rows = REPLAY_RULES.map(([rule, name]) => ({ name, ...replay[rule] }))
  const played = { count: replay.positions.length - replay.from, first: view.builds[from]?.name ?? '' }
  return (
    <section>
      <h2>Why not correct on every build?</h2>
      <p class="lead">
        <Words sentence={replayWords(axis, played, replay.advised, replay.everyBuild)} />
      </p>
      <p class="quiet">
        {`The same builds, printed again on paper. Each row is the deviation from nominal of each build’s axis, had the factor followed that rule; ${replay.delay === 1 ? 'one build is' : `${replay.delay} builds are`} already printed when measurements arrive, and the advice is taken as if every signal had been explained at once.`}
      </p>
      <StillFigure
        name="replay"
        title={`${view.partNumber.number} rev ${view.partNumber.revision}, rules for scale factor ${axis}`}
        draw={(palette, width) => (
          <ReplayChart
            rows={rows}
            positions={replay.positions}
            layout={timelineLayout(width, from, to)}
            buildNames={view.builds.map((build) => build.name)}
            palette={palette}
            label={`Deviation from nominal along ${axis} as printed, as advised, and corrected on every build`}
          />
        )}
        table={() => replayTable(view, chosen, replay)}
        from={[view, axis]}
      />
    </section>
  )
}

function Shares({ view, axis }: { view: ShrinkageView; axis: Axis }) {
  const resource = useResource<SharesView>(sharesAddress(view.partNumber))
  const shares = resource.value?.axes.find((each) => each.axis === axis)?.shares ?? []
  return (
    <section>
      <h2>{`What the variance along ${axis} goes with`}</h2>
      <Reading resource={resource} what="single values" />
      {resource.value !== null && (
        <>
          {shares.length > 0 && <p class="lead">{sharesWords(shares)}</p>}
          <p class="quiet">
            {`Shares of all variance of shrinkage, one condition at a time: what two conditions hold in common both claim, so shares do not add up. Places and trays are from ${formatCount(resource.value.sample.values)} single values of ${resource.value.sample.builds === resource.value.sample.ofBuilds ? `all ${resource.value.sample.ofBuilds} builds` : `the last ${resource.value.sample.builds} of ${resource.value.sample.ofBuilds} builds`}; at most ${formatCount(resource.value.sample.most)} are read.`}
          </p>
          {shares.length === 0 ? (
            <p>No recorded condition varies.</p>
          ) : (
            <StillFigure
              name="shares"
              title={`${view.partNumber.number} rev ${view.partNumber.revision}, what the variance along ${axis} goes with`}
              draw={(palette, width) => (
                <SharesChart
                  shares={shares}
                  width={Math.min(width, 1000)}
                  palette={palette}
                  label={`Share of the variance of shrinkage along ${axis} by condition`}
                />
              )}
              table={() => sharesTable(resource.value as SharesView)}
              from={[resource.value, axis]}
            />
          )}
        </>
      )}
    </section>
  )
}

function Awaited({ view }: { view: ShrinkageView }) {
  const { awaited } = view
  return (
    <section>
      <h2>Printed, not measured yet</h2>
      {awaited.length === 0 ? (
        <p class="quiet">
          No build on record is later than the last measured one. Bring the list of builds to the intake when
          they are printed, and the sizes to expect stand here.
        </p>
      ) : (
        <>
          <DataTable table={expectedTable(view)} />
          <SaveTable title={`${view.partNumber.number}, sizes to expect`} table={() => expectedTable(view)} />
        </>
      )}
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
