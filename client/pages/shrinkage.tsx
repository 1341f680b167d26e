import { useEffect, useState } from 'preact/hooks'
import { useRoute } from 'preact-iso'
import type { PredictionView, ShrinkageView } from '../../server/contract/shrinkage.ts'
import type { Axis } from '../../src/domain/characteristic.ts'
import { formatNumber } from '../../src/words/format.ts'
import { driftPage } from '../data/addresses.ts'
import { onDecided } from '../data/decide.ts'
import { OPEN_WITH_STANDING, windowOf } from '../data/drift-state.ts'
import { useOpen, useQuery } from '../data/query.ts'
import { useResource } from '../data/resource.ts'
import { predictionAddress, shrinkageAddress } from '../data/shrinkage-addresses.ts'
import { firstAxis, shrinkageState } from '../data/shrinkage-state.ts'
import { onReceipt } from '../data/the-intake.ts'
import { Choice } from '../parts/choice.tsx'
import { DataTable } from '../parts/data-table.tsx'
import { Disclosure } from '../parts/disclosure.tsx'
import { ReadingOfPartNumber } from '../parts/notice.tsx'
import { SaveTable } from '../parts/save-table.tsx'
import { Opening, Words } from '../parts/sentence.tsx'
import { AwaitedBuilds } from '../parts/shrinkage/awaited-builds.tsx'
import { FactorDecisions } from '../parts/shrinkage/factor-decisions.tsx'
import { AnisotropyCharts, anisotropyWords, ShrinkageCharts } from '../parts/shrinkage/shrinkage-charts.tsx'
import { Factors } from '../parts/shrinkage/shrinkage-factors.tsx'
import { ReplaySection } from '../parts/shrinkage/shrinkage-replay.tsx'
import { ShrinkageSettings } from '../parts/shrinkage/shrinkage-settings.tsx'
import { Shares } from '../parts/shrinkage/shrinkage-shares.tsx'
import { ShrinkageWhy } from '../parts/shrinkage/shrinkage-why.tsx'
import { useTitle } from '../parts/title.ts'
import { WindowChoice } from '../parts/window-choice.tsx'
import { greenTable, loadsTable } from '../words/shrinkage-tables.ts'

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
      <ReadingOfPartNumber resource={resource} what="shrinkage" />
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
          {view.groundLines.length > 0 && (
            <>
              <p class="actions">
                <OpenBelow name="settings" text="What a change may cost" />
                <OpenBelow name="why" text="How do you know?" />
              </p>
              <p class="caution">
                <Words sentence={view.caution} />
              </p>
            </>
          )}
          <InTheWay view={view} />
          {view.axes.some(({ shrinkage }) => shrinkage !== null) ? (
            <Shrinkage view={view} />
          ) : (
            view.builds.length > 0 && <Untold view={view} />
          )}
        </div>
      )}
    </>
  )
}

/** Opens a section further down, and goes there. */
function OpenBelow({ name, text }: { name: string; text: string }) {
  const [open, setOpen] = useOpen(name)
  const [asked, setAsked] = useState(0)
  // Once it is drawn: before, there is nothing to go to.
  useEffect(() => {
    if (asked === 0 || !open) return
    const section = document.getElementById(`section-${name}`)?.closest('section')
    section?.scrollIntoView({ block: 'start' })
    section?.querySelector('button')?.focus({ preventScroll: true })
  }, [asked, open, name])
  const show = () => {
    setOpen(true)
    setAsked(asked + 1)
  }
  return (
    <button type="button" class="plain" onClick={show}>
      {text}
    </button>
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
                  <a href={`${driftPage(view.partNumber, designator)}${OPEN_WITH_STANDING}`}>
                    Open its longest size on the drift page
                  </a>
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

/** Where shrinkage is fitted along no axis: what was decided and printed, and how sizes are taken, which may be why. */
function Untold({ view }: { view: ShrinkageView }) {
  return (
    <>
      {view.decisions.length > 0 && (
        <section>
          <h2>Decisions taken</h2>
          <FactorDecisions view={view} />
        </section>
      )}
      <Settings view={view} />
    </>
  )
}

function Settings({ view }: { view: ShrinkageView }) {
  return (
    <Disclosure name="settings" title="How sizes are taken, and what a change may cost">
      <ShrinkageSettings view={view} />
    </Disclosure>
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
        <FactorDecisions view={view} />
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
        {view.loads.length > 0 && (
          <Disclosure name="loads" title="Furnace load by furnace load">
            <p>Each load from the parts that it held; from and to are 95 % intervals.</p>
            <DataTable table={loadsTable(view, axis)} />
            <SaveTable
              title={`${view.partNumber.number}, shrinkage along ${axis} by furnace load`}
              table={() => loadsTable(view, axis)}
            />
          </Disclosure>
        )}
      </section>
      <ReplaySection view={view} axis={axis} />
      <Shares view={view} axis={axis} />
      <AwaitedBuilds view={view} />
      <Disclosure name="green" title="Limits for the green part">
        <p>
          {`A green part at the aim sinters to nominal on average, with the factors left aside. Between the guarded limits it sinters to within the drawing with a probability of ${formatNumber(100 * view.greenProbability, 1)} % or more at either end; where a guarded limit is missing, builds and parts scatter too much for any green limit to promise that.`}
        </p>
        <DataTable table={greenTable(view)} />
        <SaveTable title={`${view.partNumber.number}, green limits`} table={() => greenTable(view)} />
      </Disclosure>
      <Settings view={view} />
      <Disclosure name="why" title="How do you know?">
        <ShrinkageWhy view={view} />
      </Disclosure>
    </>
  )
}

function ChartControls({ view, axis }: { view: ShrinkageView; axis: Axis }) {
  const { change } = useQuery()
  return (
    <div class="controls">
      <Choice
        legend="Axis"
        name="axis"
        value={axis}
        options={(['X', 'Y', 'Z'] as const).map((each) => ({ value: each, text: each }))}
        onPick={(each) => change({ axis: each })}
      />
      <WindowChoice total={view.builds.length} />
    </div>
  )
}
