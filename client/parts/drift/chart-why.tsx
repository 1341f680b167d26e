import type { ChartView } from '../../../server/contract/views.ts'
import type { PhaseLimits } from '../../../src/charts/model.ts'
import { OPTIONAL_TESTS, WESTERN_ELECTRIC } from '../../../src/charts/tests.ts'
import { buildSpan, capitalise, formatCount, formatNumber, meanDecimals } from '../../../src/words/format.ts'
import { probabilityText } from '../../../src/words/probability.ts'
import { TEST_WORDS } from '../../../src/words/study-words.ts'
import { dayText, unitText } from '../../words/quantities.ts'

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
        {formulas(view).map((line) => (
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
        {[...WESTERN_ELECTRIC, ...OPTIONAL_TESTS]
          .filter(({ id }) => view.study.tests.includes(id))
          .map(({ id }) => (
            <li key={id}>{`${capitalise(TEST_WORDS[id])}.`}</li>
          ))}
        <li>Each on one side of the centre line at a time, and never across a change of limits.</li>
        <li>On the spread and on steps from build to build, only points beyond the limit count.</li>
        {chart.inControlRunLength !== null && (
          <li>
            {`Where nothing changes, these tests together give a false alarm once in ${formatNumber(chart.inControlRunLength, 0)} builds on average.`}
          </li>
        )}
        {chart.subgroups.some((subgroup) => subgroup.leftOut) && (
          <li>What is left out is passed over: it neither counts in a run nor breaks it.</li>
        )}
        <li>Source: Western Electric, Statistical Quality Control Handbook (1956), pages 25 to 28.</li>
        {OPTIONAL_TESTS.some(({ id }) => view.study.tests.includes(id)) && (
          <li>
            Source of the further tests: L. S. Nelson, Journal of Quality Technology 16 (1984), pages 237 to
            239.
          </li>
        )}
      </ul>
    </div>
  )
}

const WITHIN = {
  'pooled-s':
    'Sigma inside builds: the standard deviations of the builds pooled, √(Σ(n − 1)s² / Σ(n − 1)), over c4(ν + 1), which takes out its bias.',
  'average-s': 'Sigma inside builds: the standard deviations of the builds, averaged, over c4(n).',
  'average-range': 'Sigma inside builds: the ranges of the builds, averaged, over d2(n).',
} as const
const SPREAD = {
  'standard deviation':
    'Spread inside the build, as standard deviation: centre c4(n)·σ, limits c4(n)·σ ± 3σ·√(1 − c4(n)²). Where the lower one would be negative there is none.',
  range:
    'Spread inside the build, as range: centre d2(n)·σ, limits d2(n)·σ ± 3·d3(n)·σ. Where the lower one would be negative there is none.',
} as const
const SOURCE =
  'Source: ISO 7870-2 for the factors; Western Electric, Statistical Quality Control Handbook (1956), for the form of the chart.'
const STEPS = {
  average: [
    'Limits of the means: centre ± 3·MR/d2(2), MR being the average step between neighbouring builds of the baseline; d2(2) = 1.128.',
    'Step from build to build: the upper limit is MR·(1 + 3·d3(2)/d2(2)) = 3.267·MR; there is no lower one.',
  ],
  median: [
    'Limits of the means: centre ± 3·σ, σ being the median step between neighbouring builds of the baseline over 0.954.',
    'Step from build to build: the upper limit is σ·(d2(2) + 3·d3(2)) = 3.686·σ; there is no lower one.',
  ],
} as const

/** In words and formulas, by the form of the chart. */
function formulas({ chart: { form, spreadStatistic }, study }: ChartView): readonly string[] {
  switch (form) {
    case 'individuals':
      return [...STEPS[study.step], SOURCE]
    case 'mean-and-s':
      return [
        WITHIN[study.within],
        'Limits of the means: centre ± 3σ/√n, stepped where the number of parts differs.',
        SPREAD[spreadStatistic],
        SOURCE,
      ]
    case 'three-way':
      return [
        'Builds differ from each other by more than the scatter inside them explains (F test of one-way analysis of variance), so limits from that scatter alone would be too narrow.',
        ...STEPS[study.step],
        WITHIN[study.within],
        SPREAD[spreadStatistic],
        SOURCE,
      ]
  }
}

function PhaseFigures({ view, phase }: { view: ChartView; phase: PhaseLimits }) {
  const { chart, characteristic } = view
  const label = (i: number) => chart.subgroups[i]?.label ?? ''
  const decimals = meanDecimals(characteristic)
  const unit = unitText(characteristic.unit)
  const length = (value: number, more = 0) => `${formatNumber(value, decimals + more)} ${unit}`
  const test = phase.betweenTest
  return (
    <>
      <h3>{`${buildSpan(label(phase.from), label(phase.to))} (${phase.reason})`}</h3>
      <dl>
        <dt>limits computed from</dt>
        <dd>
          {`builds ${label(phase.baselineFrom)} to ${label(phase.baselineTo)}: ${phase.baselineCount} builds, ${formatCount(phase.baselineValues)} parts${phase.provisional ? ', provisional' : ''}`}
        </dd>
        {phase.frozen !== null && (
          <>
            <dt>frozen</dt>
            <dd>
              {`by ${phase.frozen.who}, ${dayText(phase.frozen.at)}, with version ${phase.frozen.version} of the study: ${phase.frozen.reason}`}
            </dd>
          </>
        )}
        <dt>centre</dt>
        <dd>{length(phase.centre)}</dd>
        {phase.sigmaWithin !== null && (
          <>
            <dt>sigma inside builds</dt>
            <dd>{`${length(phase.sigmaWithin, 1)} on ${formatNumber(phase.dfWithin, Number.isInteger(phase.dfWithin) ? 0 : 1)} degrees of freedom`}</dd>
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
              {`${test.differs ? 'yes' : 'not shown'}: ${test.f === null ? 'nothing scatters inside builds, so that F is infinite,' : `F = ${formatNumber(test.f, 2)}`} on ${formatNumber(test.dfBetween, 0)} and ${formatNumber(test.dfWithin, 0)} degrees of freedom, p ${probabilityText(test.p)}`}
            </dd>
          </>
        )}
      </dl>
    </>
  )
}
