import type { ChartView } from '../../server/contract/views.ts'
import type { ChartForm, PhaseLimits } from '../../src/charts/model.ts'
import { formatCount, formatNumber, meanDecimals } from '../../src/words/format.ts'
import { probabilityText } from '../words/probability.ts'
import { unitText } from '../words/quantities.ts'

/** How the limits and signals of a chart came about: figures, formulas, sources. */
export function ChartWhy({ view }: { view: ChartView }) {
  const { chart } = view
  return (
    <div class="why">
      {chart.phases.map((phase) => (
        <PhaseFigures key={phase.from} view={view} phase={phase} />
      ))}
      <h3>How the limits are made</h3>
      <ul>
        {FORMULAS[chart.form].map((line) => (
          <li key={line}>{line}</li>
        ))}
        {chart.phases.some((phase) => phase.provisional) && (
          <li>
            Provisional: fewer than twenty-five builds stand behind the limits, so that the limits themselves
            are uncertain. They firm up as builds are added.
          </li>
        )}
      </ul>
      <h3>How a signal is found</h3>
      <ul>
        <li>
          One point beyond three sigma; two of three beyond two; four of five beyond one; eight on one side.
        </li>
        <li>Each on one side of the centre line at a time, and never across a change of limits.</li>
        <li>On the spread and on steps from build to build, only points beyond the limit count.</li>
        {chart.inControlRunLength !== null && (
          <li>
            {`Where nothing changes, these tests together give a false alarm once in ${formatNumber(chart.inControlRunLength, 0)} builds on average.`}
          </li>
        )}
        <li>Source: Western Electric, Statistical Quality Control Handbook (1956), pages 25 to 28.</li>
      </ul>
    </div>
  )
}

const WITHIN =
  'Sigma inside builds: the standard deviations of the builds pooled, √(Σ(n − 1)s² / Σ(n − 1)), over c4(ν + 1), which takes out its bias.'
const SPREAD =
  'Spread inside the build: centre c4(n)·σ, limits c4(n)·σ ± 3σ·√(1 − c4(n)²). Where the lower one would be negative there is none.'
const SOURCE =
  'Source: ISO 7870-2 for the factors; Western Electric handbook (1956) for the form of the chart.'
const STEPS =
  'Limits of the means: centre ± 3·MR/d2(2), MR being the average step between neighbouring builds; d2(2) = 1.128.'

/** In words and formulas, by the form of the chart. */
const FORMULAS: Readonly<Record<ChartForm, readonly string[]>> = {
  'mean-and-s': [
    WITHIN,
    'Limits of the means: centre ± 3σ/√n, stepped where the number of parts differs.',
    SPREAD,
    SOURCE,
  ],
  'three-way': [
    'Builds differ from each other by more than the scatter inside them explains (F test of one-way analysis of variance), so limits from that scatter alone would be too narrow.',
    STEPS,
    'Step from build to build: the upper limit is D4(2)·MR = 3.267·MR.',
    WITHIN,
    SPREAD,
    SOURCE,
  ],
  individuals: [STEPS, 'Step from build to build: the upper limit is D4(2)·MR = 3.267·MR.', SOURCE],
}

function PhaseFigures({ view, phase }: { view: ChartView; phase: PhaseLimits }) {
  const { chart, characteristic } = view
  const label = (i: number) => chart.subgroups[i]?.label ?? ''
  const decimals = meanDecimals(characteristic)
  const unit = unitText(characteristic.unit)
  const length = (value: number, more = 0) => `${formatNumber(value, decimals + more)} ${unit}`
  const parts = chart.subgroups.slice(phase.from, phase.baselineTo + 1).reduce((sum, each) => sum + each.n, 0)
  const test = phase.betweenTest
  return (
    <>
      <h3>{`Builds ${label(phase.from)} to ${label(phase.to)} (${phase.reason})`}</h3>
      <dl>
        <dt>limits computed from</dt>
        <dd>
          {`builds ${label(phase.from)} to ${label(phase.baselineTo)}: ${phase.baselineTo - phase.from + 1} builds, ${formatCount(parts)} parts${phase.provisional ? ', provisional' : ''}`}
        </dd>
        <dt>centre</dt>
        <dd>{length(phase.centre)}</dd>
        {phase.sigmaWithin !== null && (
          <>
            <dt>sigma inside builds</dt>
            <dd>{`${length(phase.sigmaWithin, 1)} on ${formatCount(phase.dfWithin)} degrees of freedom`}</dd>
          </>
        )}
        {phase.sigmaBetween !== null && (
          <>
            <dt>sigma between builds</dt>
            <dd>{phase.sigmaBetween === 0 ? 'none found' : length(phase.sigmaBetween, 1)}</dd>
          </>
        )}
        {test !== null && (
          <>
            <dt>do builds differ?</dt>
            <dd>
              {`${test.differs ? 'yes' : 'not shown'}: F = ${formatNumber(test.f, 2)} on ${formatNumber(test.dfBetween, 0)} and ${formatNumber(test.dfWithin, 0)} degrees of freedom, p ${probabilityText(test.p)}`}
            </dd>
          </>
        )}
      </dl>
    </>
  )
}
