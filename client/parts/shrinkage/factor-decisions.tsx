import { useState } from 'preact/hooks'
import type { FactorDecisionView, ShrinkageView } from '../../../server/contract/shrinkage.ts'
import type { ScaleFactors } from '../../../src/domain/build.ts'
import { OutcomeChart } from '../../../src/figures/outcome-chart.tsx'
import { CALLS } from '../../data/calls.ts'
import { send } from '../../data/decide.ts'
import { factorDecisionsAddress, takenBackAddress } from '../../data/shrinkage-addresses.ts'
import { download, fileNameFrom } from '../../save/download.ts'
import { factorsTable, outcomesTable } from '../../words/factor-tables.ts'
import { timeText } from '../../words/quantities.ts'
import { Actions } from '../actions.tsx'
import { DecisionForm } from '../decision-form.tsx'
import { saveTable } from '../figure.tsx'
import { Words } from '../sentence.tsx'
import { StillFigure } from '../still-figure.tsx'
import { factorText } from './factor-prediction.tsx'

/** Ways to go on from factors that are chosen: put them on record, or hand them to the print job. */
export function FactorActions({ view, set }: { view: ShrinkageView; set: ScaleFactors }) {
  const title = `${view.partNumber.number} rev ${view.partNumber.revision}, scale factors`
  const complete = set.x !== null && set.y !== null && set.z !== null
  const saveJson = () => {
    const content = {
      partNumber: view.partNumber.number,
      revision: view.partNumber.revision,
      factors: set,
      present: view.factors.present,
      needed: view.advice.axes.map(({ axis, needed }) => ({ axis, ...needed })),
      confidence: view.advice.confidence,
    }
    download(
      fileNameFrom(title, 'json'),
      new Blob([`${JSON.stringify(content, null, 2)}\n`], { type: 'application/json' }),
    )
  }
  return (
    <div class="actions">
      {complete && (
        <Actions
          items={[
            {
              label: 'Take this decision',
              needs: CALLS.decideFactors,
              form: (close) => <FactorDecisionForm view={view} set={set} onClose={close} />,
            },
          ]}
        />
      )}
      <button type="button" class="plain" onClick={() => saveTable(factorsTable(view, set), title)}>
        Save the factors as CSV
      </button>
      <button type="button" class="plain" onClick={saveJson}>
        Save the factors as JSON
      </button>
    </div>
  )
}

interface FactorDecisionFormProps {
  readonly view: ShrinkageView
  readonly set: ScaleFactors
  onClose(): void
}

function FactorDecisionForm({ view, set, onClose }: FactorDecisionFormProps) {
  const [firstBuild, setFirstBuild] = useState('')
  return (
    <DecisionForm
      title={`Print with X ${factorText(set.x, '–')}, Y ${factorText(set.y, '–')}, Z ${factorText(set.z, '–')}. The prediction above is kept with it and held against what comes.`}
      submit="Keep the decision"
      reason="Why"
      ready={firstBuild.trim() !== ''}
      onClose={onClose}
      send={({ who, reason }) =>
        send(factorDecisionsAddress(view.partNumber), {
          ...set,
          firstBuild: firstBuild.trim(),
          who,
          reason,
          last: view.decisions[0]?.number ?? null,
        })
      }
    >
      <label class="field">
        First build printed with them
        <input
          type="text"
          maxLength={200}
          value={firstBuild}
          onInput={(event) => setFirstBuild(event.currentTarget.value)}
        />
      </label>
    </DecisionForm>
  )
}

/** What was decided, and what came of it. */
export function FactorDecisions({ view }: { view: ShrinkageView }) {
  const { decisions } = view
  if (decisions.length === 0) return <p class="quiet">No decision about scale factors is on record.</p>
  return (
    <ol class="written" reversed>
      {decisions.map((decision) => (
        <li key={decision.number} value={decision.number}>
          <p>
            {`From build ${decision.firstBuild} on: ${changesIn(decision)}. `}
            <span class="quiet">{`${decision.who}, ${timeText(decision.at)}`}</span>
          </p>
          <p>{decision.reason}</p>
          {decision.takenBack === null ? (
            <WhatCame view={view} decision={decision} />
          ) : (
            <TakenBack decision={decision} />
          )}
        </li>
      ))}
    </ol>
  )
}

function WhatCame({ view, decision }: { view: ShrinkageView; decision: FactorDecisionView }) {
  const { number, outcomes, others, verdict, mayBeTakenBack } = decision
  return (
    <>
      <p>
        <Words sentence={verdict} />
        {others.length > 0 && ` Printed with other factors since: ${others.join(', ')}.`}
      </p>
      {outcomes.length > 0 && (
        <StillFigure
          name={`outcome-${number}`}
          title={`${view.partNumber.number} rev ${view.partNumber.revision}, what came of decision ${number}`}
          draw={(palette, width) => (
            <OutcomeChart
              outcomes={outcomes}
              width={Math.min(width, 1000)}
              palette={palette}
              label={`What was measured less what was predicted by decision ${number}, by characteristic`}
            />
          )}
          table={() => outcomesTable(decision)}
          from={[decision]}
        />
      )}
      {mayBeTakenBack && (
        <Actions
          items={[
            {
              label: 'Take it back',
              needs: CALLS.takeFactorsBack,
              about: `decision ${number}`,
              form: (close) => (
                <DecisionForm
                  title={`Take decision ${number} back. No build on record is printed with it; it stays in this list, with your reason.`}
                  submit="Take it back"
                  reason="Why"
                  onClose={close}
                  send={(signed) => send(takenBackAddress(view.partNumber, number), signed)}
                />
              ),
            },
          ]}
        />
      )}
    </>
  )
}

function TakenBack({ decision: { takenBack, builds } }: { decision: FactorDecisionView }) {
  if (takenBack === null) return null
  return (
    <p>
      {`Taken back: ${takenBack.reason} `}
      <span class="quiet">{`${takenBack.who}, ${timeText(takenBack.at)}`}</span>
      {builds.length > 0 && ` Printed with these factors nonetheless: ${builds.join(', ')}.`}
    </p>
  )
}

function changesIn({ before, factors }: FactorDecisionView): string {
  const changes = (['x', 'y', 'z'] as const).flatMap((axis) =>
    before[axis] === factors[axis]
      ? []
      : [
          `${axis.toUpperCase()} ${factorText(before[axis], 'not known')} → ${factorText(factors[axis], '–')}`,
        ],
  )
  return changes.length === 0 ? 'factors left as they are' : changes.join(', ')
}
