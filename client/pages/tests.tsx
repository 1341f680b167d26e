import { useRoute } from 'preact-iso'
import type { ChartView } from '../../server/contract/views.ts'
import { pointError } from '../../src/charts/point-error.ts'
import { ALL_TESTS, type TestId } from '../../src/charts/tests.ts'
import { PowerCurve, type PowerPoint } from '../../src/figures/power-curve.tsx'
import { characteristicTitle, countOf, formatNumber, meanDecimals } from '../../src/words/format.ts'
import { TEST_WORDS } from '../../src/words/study-words.ts'
import { testPowerWords } from '../../src/words/test-power-words.ts'
import { chartAddress } from '../data/addresses.ts'
import { driftState } from '../data/drift-state.ts'
import { useQuery } from '../data/query.ts'
import { useResource } from '../data/resource.ts'
import { useRunLengths } from '../data/run-lengths.ts'
import { testState } from '../data/test-state.ts'
import { Disclosure } from '../parts/disclosure.tsx'
import { AboutControls, AboutWays } from '../parts/drift/about-head.tsx'
import { RangeField } from '../parts/drift/range-field.tsx'
import { ReadingOfPartNumber } from '../parts/notice.tsx'
import { Opening } from '../parts/sentence.tsx'
import { MeasuredStage } from '../parts/stage-choice.tsx'
import { StillFigure } from '../parts/still-figure.tsx'
import { useTitle } from '../parts/title.ts'
import { unitText } from '../words/quantities.ts'

/** Points of the curve. */
const STEPS = 24
/** Largest shift on the slider, in standard errors of a point. */
const REACH = 5
/** Builds that say how many parts are measured now. */
const LATELY = 25

/** What the tests in force cost in false alarms, and how soon they see a shift. */
export function TestsPage() {
  const { params } = useRoute()
  const { query, change } = useQuery()
  const key = { number: params.number ?? '', revision: params.revision ?? '' }
  const designator = params.designator ?? ''
  useTitle(`What the tests cost and catch, ${key.number} characteristic ${designator}`)
  const { stage } = driftState(query)
  const resource = useResource<ChartView>(chartAddress(key, designator, stage))
  const view = resource.value
  const now = view === null ? null : presentOf(view)
  return (
    <>
      <ReadingOfPartNumber resource={resource} what="the chart" />
      {view !== null &&
        (now === null ? (
          <Opening headline={[{ text: 'There is no spread to reckon with yet.' }]} grounds={[]} />
        ) : (
          <Power view={view} designator={designator} now={now} />
        ))}
      {view !== null && now === null && (
        <AboutControls of={key} designator={designator} here="tests">
          <MeasuredStage value={stage} onPick={(value) => change({ stage: value })} />
        </AboutControls>
      )}
    </>
  )
}

interface Present {
  /** Parts in a build, as of late. */
  readonly parts: number
  errorOf(parts: number): number | null
  /** Standard error of a point as of late. */
  readonly error: number
}

/** How the characteristic is measured and scatters now. */
function presentOf({ chart }: ChartView): Present | null {
  const phase = chart.phases.at(-1)
  if (phase === undefined) return null
  const sizes = chart.subgroups
    .filter((subgroup) => !subgroup.leftOut)
    .slice(-LATELY)
    .map((subgroup) => subgroup.n)
    .sort((a, b) => a - b)
  const parts = sizes[Math.floor(sizes.length / 2)] ?? 1
  const errorOf = (n: number) => pointError(phase, chart.form, n)
  const error = errorOf(parts)
  return error === null ? null : { parts, errorOf, error }
}

function Power({ view, designator, now }: { view: ChartView; designator: string; now: Present }) {
  const { query, change } = useQuery()
  const state = testState(query)
  const { characteristic, chart, study, partNumber } = view
  const tests = state.tests ?? study.tests
  const parts = state.parts ?? now.parts
  const error = now.errorOf(parts) ?? now.error
  const decimals = meanDecimals(characteristic)
  const step = 10 ** -decimals
  const reach = Math.max(step, Math.ceil((REACH * now.error) / step) * step)
  const shift = Math.min(reach, state.shift ?? Math.max(step, Math.round((1.5 * now.error) / step) * step))
  // Closer together where the curve bends most: it starts level, since a shift down is seen as soon as one up.
  const curve = Array.from({ length: STEPS + 1 }, (_, i) => reach * (i / STEPS) ** 1.8)
  // What the sentence says is computed first.
  const shifts = [0, shift, ...curve.slice(1)]
  const found = useRunLengths(
    tests,
    shifts.map((each) => each / error),
  )
  const [falseAlarm, seen] = [found[0] ?? null, found[1] ?? null]
  const points = [0, ...shifts.slice(2)].flatMap((each, i): PowerPoint[] => {
    const builds = found[i === 0 ? 0 : i + 1] ?? null
    return builds === null ? [] : [{ shift: each, builds }]
  })
  const unit = unitText(characteristic.unit)
  const pick = (id: TestId, on: boolean) => {
    const next = ALL_TESTS.map((test) => test.id).filter((each) => (each === id ? on : tests.includes(each)))
    change({ tests: next.join(',') })
  }
  const individuals = chart.form === 'individuals'
  return (
    <>
      <Opening
        headline={testPowerWords(characteristic, shift, falseAlarm, seen)}
        grounds={[
          {
            text: `${characteristicTitle(characteristic)}, ${countOf(parts, 'part')} a build: a plotted point has a standard error of ${formatNumber(error, decimals + 1)} ${unit}, so that shift is ${formatNumber(shift / error, 2)} of them. Counted is the build of the signal too.`,
          },
        ]}
      />
      <AboutWays of={partNumber} designator={designator} here="tests" />
      <AboutControls of={partNumber} designator={designator} here="tests">
        <RangeField
          label="Shift of the mean"
          min={step}
          max={reach}
          step={step}
          value={shift}
          text={`${formatNumber(shift, decimals)} ${unit}`}
          onPick={(value) => change({ shift: value.toFixed(decimals) })}
        />
        {!individuals && (
          <RangeField
            label="Parts measured in a build"
            min={1}
            max={Math.max(50, now.parts * 2)}
            step={1}
            value={parts}
            text={countOf(parts, 'part')}
            onPick={(value) => change({ parts: String(value) })}
          />
        )}
        <MeasuredStage value={driftState(query).stage} onPick={(stage) => change({ stage })} />
      </AboutControls>
      <fieldset class="checks">
        <legend>Tests</legend>
        <div>
          {ALL_TESTS.map(({ id }) => (
            <label key={id}>
              <input
                type="checkbox"
                checked={tests.includes(id)}
                onChange={(event) => pick(id, event.currentTarget.checked)}
              />
              {TEST_WORDS[id]}
              {study.tests.includes(id) ? ' (in force)' : ''}
            </label>
          ))}
        </div>
      </fieldset>
      {state.tests !== null && (
        <button type="button" class="plain" onClick={() => change({ tests: null })}>
          Back to the tests in force
        </button>
      )}
      <StillFigure
        name="power"
        title={`${partNumber.number} rev ${partNumber.revision}, ${characteristicTitle(characteristic)}, builds until a signal`}
        draw={(palette, width) => (
          <PowerCurve
            points={points}
            chosen={seen === null ? null : { shift, builds: seen }}
            reach={reach}
            unit={unit}
            decimals={decimals}
            width={Math.min(width, 900)}
            palette={palette}
            label="Builds until a signal against the size of a shift"
          />
        )}
        table={() => ({
          caption: 'Builds until a signal on average, by size of the shift',
          columns: [
            { heading: `shift, ${unit}`, decimals },
            { heading: 'in standard errors', decimals: 2 },
            { heading: 'builds until a signal', decimals: 1 },
          ],
          rows: points.map((point) => [point.shift, point.shift / error, point.builds]),
        })}
        from={[found, shift, reach, unit]}
      />
      <Disclosure name="why" title="How do you know?">
        <div class="why">
          <p>
            Run lengths are computed in this browser from the chain of states that the tests can be in, not
            simulated: C. W. Champ and W. H. Woodall, Technometrics 29 (1987), 393–399. They hold for builds
            that scatter normally and independently of one another about known limits; limits from few builds,
            and builds alike to their neighbours, bring false alarms more often.
          </p>
          <p>
            {chart.form === 'three-way'
              ? 'Builds differ from one another, so more parts in a build make a point surer only as far as the scatter between builds lets them.'
              : 'The standard error of a point is the standard deviation inside builds over the root of the number of parts.'}{' '}
            What is computed here changes nothing: tests are put in force on the control chart.
          </p>
        </div>
      </Disclosure>
    </>
  )
}
