import { useState } from 'preact/hooks'
import type { ChartView, TimelineBuild } from '../../../server/contract/views.ts'
import type { PhaseLimits } from '../../../src/charts/model.ts'
import { REPEAT_CHOICES, type RepeatChoice } from '../../../src/charts/repeats.ts'
import type { StepEstimator, WithinEstimator } from '../../../src/charts/study.ts'
import { OPTIONAL_TESTS, type TestId, WESTERN_ELECTRIC } from '../../../src/charts/tests.ts'
import { limitsOrigin } from '../../../src/words/chart-words.ts'
import { buildSpan, formatNumber } from '../../../src/words/format.ts'
import {
  REPEAT_WORDS,
  STEP_WORDS,
  TEST_WORDS,
  testsInForce,
  WITHIN_WORDS,
} from '../../../src/words/study-words.ts'
import { CALLS } from '../../data/calls.ts'
import { timeText } from '../../words/quantities.ts'
import { type Action, Actions } from '../actions.tsx'
import { BuildChoice } from './build-choice.tsx'
import { StudyChange } from './study-change.tsx'

interface LimitsInForceProps {
  readonly view: ChartView
  readonly builds: readonly TimelineBuild[]
}

/** Which limits, tests and estimators a chart is judged by, who decided so, and the ways to change it. */
export function LimitsInForce({ view, builds }: LimitsInForceProps) {
  const { chart, study } = view
  const label = (i: number) => chart.subgroups[i]?.label ?? ''
  const falseAlarm = chart.inControlRunLength
  return (
    <section>
      <h3>Limits and tests in force</h3>
      <ul class="written">
        {chart.phases.map((phase) => (
          <li key={phase.from}>
            {`${buildSpan(label(phase.from), label(phase.to))} (${phase.reason}): ${lowerFirst(limitsOrigin(chart, phase))}. `}
            <Actions items={phaseActions(view, builds, phase)} />
          </li>
        ))}
        <li>
          {`Tests: ${testsInForce(study.tests)}${falseAlarm === null ? '' : `; a false alarm once in ${formatNumber(falseAlarm, 0)} builds on average`}. `}
          <Actions
            items={[
              {
                label: 'Choose the tests',
                needs: CALLS.changeStudy,
                form: (close) => <TestsForm view={view} builds={builds} onClose={close} />,
              },
            ]}
          />
        </li>
        <li>
          {`Sigma inside builds from the ${WITHIN_WORDS[study.within]}, between builds from the ${STEP_WORDS[study.step]}. `}
          <Actions
            items={[
              {
                label: 'Choose the estimators',
                needs: CALLS.changeStudy,
                form: (close) => <EstimatorsForm view={view} builds={builds} onClose={close} />,
              },
            ]}
          />
        </li>
        <li>
          {`Of several measurements of a part, ${REPEAT_WORDS[study.repeats]}. `}
          <Actions
            items={[
              {
                label: 'Choose which counts',
                needs: CALLS.changeStudy,
                form: (close) => <RepeatsForm view={view} builds={builds} onClose={close} />,
              },
            ]}
          />
        </li>
      </ul>
      {study.history.length > 0 && (
        <details>
          <summary>{`Who decided what: ${study.history.length} ${study.history.length === 1 ? 'version' : 'versions'}`}</summary>
          <ol class="written" reversed>
            {study.history.map(({ version, who, at, did, reason }) => (
              <li key={version}>{`${timeText(at)}, ${who} ${did}: ${reason}`}</li>
            ))}
          </ol>
        </details>
      )}
    </section>
  )
}

function phaseActions(view: ChartView, builds: readonly TimelineBuild[], phase: PhaseLimits): Action[] {
  const label = (i: number) => view.chart.subgroups[i]?.label ?? ''
  const build = label(phase.from)
  const span = `builds ${build} to ${label(phase.to)}`
  const common = { view, builds }
  const actions: Action[] = []
  if (phase.frozen === null) {
    actions.push(
      {
        label: 'Freeze these limits',
        needs: CALLS.changeStudy,
        about: span,
        form: (close) => (
          <StudyChange
            {...common}
            title={`Freeze the limits of ${span}: they hold, whatever the record adds.`}
            submit="Freeze these limits"
            change={{ kind: 'freeze-limits', build }}
            onClose={close}
          />
        ),
      },
      {
        label: 'Choose the baseline',
        needs: CALLS.changeStudy,
        about: span,
        form: (close) => <BaselineForm {...common} phase={phase} onClose={close} />,
      },
    )
  } else {
    actions.push({
      label: 'Compute these limits again',
      needs: CALLS.changeStudy,
      about: span,
      form: (close) => (
        <StudyChange
          {...common}
          title={`Compute the limits of ${span} from the record again.`}
          submit="Compute them again"
          change={{ kind: 'release-limits', build }}
          onClose={close}
        />
      ),
    })
  }
  if (phase.from > 0 && view.study.opened.length > 0) {
    actions.push({
      label: 'Join to the phase before',
      needs: CALLS.changeStudy,
      about: span,
      form: (close) => (
        <StudyChange
          {...common}
          title={`Judge ${span} by the limits of the phase before.`}
          submit="Join the phases"
          change={{ kind: 'join-phase', build }}
          onClose={close}
        />
      ),
    })
  }
  return actions
}

interface FormProps extends LimitsInForceProps {
  onClose(): void
}

function BaselineForm({ view, builds, phase, onClose }: FormProps & { readonly phase: PhaseLimits }) {
  const { subgroups } = view.chart
  const names = subgroups.slice(phase.from, phase.to + 1).map((subgroup) => subgroup.label)
  const build = names[0] as string
  const [first, setFirst] = useState(false)
  const [from, setFrom] = useState(subgroups[phase.baselineFrom]?.label ?? build)
  const [to, setTo] = useState(subgroups[phase.baselineTo]?.label ?? build)
  return (
    <StudyChange
      view={view}
      builds={builds}
      title="The builds that limits are computed from: they should stand for the process as it is meant to run."
      submit="Take this baseline"
      change={{ kind: 'choose-baseline', build, span: first ? null : { from, to } }}
      onClose={onClose}
    >
      <div class="decide">
        <BuildChoice label="from build" builds={names} value={from} onPick={setFrom} />
        <BuildChoice label="to build" builds={names} value={to} onPick={setTo} />
        <label class="tick">
          <input
            type="checkbox"
            checked={first}
            onChange={(event) => setFirst(event.currentTarget.checked)}
          />
          rather the first 25 builds of the phase
        </label>
      </div>
    </StudyChange>
  )
}

function TestsForm({ view, builds, onClose }: FormProps) {
  const [tests, setTests] = useState<readonly TestId[]>(view.study.tests)
  const tick = (test: TestId, on: boolean) =>
    setTests(on ? [...tests, test] : tests.filter((each) => each !== test))
  const group = (legend: string, all: readonly { readonly id: TestId }[]) => (
    <fieldset class="ticks">
      <legend>{legend}</legend>
      {all.map(({ id }) => (
        <label key={id}>
          <input
            type="checkbox"
            checked={tests.includes(id)}
            onChange={(event) => tick(id, event.currentTarget.checked)}
          />
          {TEST_WORDS[id]}
        </label>
      ))}
    </fieldset>
  )
  return (
    <StudyChange
      view={view}
      builds={builds}
      title="The tests that points are put to. Every further test finds some changes sooner and gives more false alarms."
      submit="Put these tests in force"
      change={{ kind: 'choose-tests', tests: [...tests] }}
      onClose={onClose}
    >
      {group('Western Electric', WESTERN_ELECTRIC)}
      {group('Further run tests (Nelson 1984)', OPTIONAL_TESTS)}
    </StudyChange>
  )
}

function EstimatorsForm({ view, builds, onClose }: FormProps) {
  const [within, setWithin] = useState<WithinEstimator>(view.study.within)
  const [step, setStep] = useState<StepEstimator>(view.study.step)
  return (
    <StudyChange
      view={view}
      builds={builds}
      title="What sigma is estimated from. The average range serves to compare with charts kept by hand; the median step is not moved by single large steps."
      submit="Take these estimators"
      change={{ kind: 'choose-estimators', within, step }}
      onClose={onClose}
    >
      <div class="decide">
        <label class="field">
          Inside builds
          <select
            value={within}
            onChange={(event) => setWithin(event.currentTarget.value as WithinEstimator)}
          >
            {Object.entries(WITHIN_WORDS).map(([id, words]) => (
              <option key={id} value={id}>
                {words}
              </option>
            ))}
          </select>
        </label>
        <label class="field">
          Between builds
          <select value={step} onChange={(event) => setStep(event.currentTarget.value as StepEstimator)}>
            {Object.entries(STEP_WORDS).map(([id, words]) => (
              <option key={id} value={id}>
                {words}
              </option>
            ))}
          </select>
        </label>
      </div>
    </StudyChange>
  )
}

function RepeatsForm({ view, builds, onClose }: FormProps) {
  const [repeats, setRepeats] = useState<RepeatChoice>(view.study.repeats === 'every' ? 'last' : 'every')
  return (
    <StudyChange
      view={view}
      builds={builds}
      title="Which of several measurements of a part counts, in every figure of this characteristic. All of them stay on record."
      submit="Let these count"
      change={{ kind: 'choose-repeats', repeats }}
      onClose={onClose}
    >
      <label class="field">
        Of several measurements of a part
        <select value={repeats} onChange={(event) => setRepeats(event.currentTarget.value as RepeatChoice)}>
          {REPEAT_CHOICES.map((choice) => (
            <option key={choice} value={choice} disabled={choice === view.study.repeats}>
              {REPEAT_WORDS[choice]}
            </option>
          ))}
        </select>
      </label>
    </StudyChange>
  )
}

interface OpenPhaseProps extends LimitsInForceProps {
  readonly build: string
  onClose(): void
}

/** A new phase at a build, with limits of its own. */
export function OpenPhase({ view, builds, build, onClose }: OpenPhaseProps) {
  return (
    <StudyChange
      view={view}
      builds={builds}
      title={`Open a phase at build ${build}: from there on, other limits judge ${view.characteristic.name || view.characteristic.designator}.`}
      submit="Open the phase"
      change={{ kind: 'open-phase', build }}
      onClose={onClose}
    />
  )
}

function lowerFirst(text: string): string {
  return text.charAt(0).toLowerCase() + text.slice(1)
}
