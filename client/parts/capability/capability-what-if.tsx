import { useEffect, useId, useState } from 'preact/hooks'
import { useLocation } from 'preact-iso'
import type { WhatIfView } from '../../../server/contract/capability-detail.ts'
import { bindingLimits } from '../../../src/capability/quantile-method.ts'
import { LIMIT_EXPECTED, limitFromText } from '../../../src/capability/supposed-limit.ts'
import type { SupposedFigures } from '../../../src/capability/what-if.ts'
import { IndexAxis, IndexMark, indexScale } from '../../../src/figures/index-mark.tsx'
import { SCREEN } from '../../../src/figures/palette.ts'
import { characteristicTitle, formatNumber } from '../../../src/words/format.ts'
import { capabilityState } from '../../data/capability-state.ts'
import { useQuery } from '../../data/query.ts'
import { useResource } from '../../data/resource.ts'
import { isAskable, whatIfAddress, whatIfState } from '../../data/what-if-state.ts'
import { type ComparedFigure, comparedFigures, comparedTable } from '../../words/capability-detail-tables.ts'
import { figureText, spanText } from '../../words/figure-text.ts'
import { unitText } from '../../words/quantities.ts'
import { Reading } from '../notice.tsx'
import { SaveTable } from '../save-table.tsx'
import { Words } from '../sentence.tsx'
import type { DetailProps } from './capability-values.tsx'

/** What the characteristic would hold if something were otherwise: never shown as if it were measured. */
export function CapabilityWhatIf({ view, measured }: DetailProps) {
  const { query } = useLocation()
  const state = whatIfState(query)
  const { partNumber, characteristic } = view
  const resource = useResource<WhatIfView>(
    isAskable(state)
      ? whatIfAddress(partNumber, characteristic.designator, capabilityState(query), state)
      : null,
  )
  const found = resource.value
  return (
    <section aria-labelledby="what-if-title">
      <h2 id="what-if-title">What if</h2>
      <Supposing view={view} />
      <Reading resource={resource} what="the supposed figures" />
      {found !== null && isAskable(state) && (
        <div class={resource.loading ? 'stale' : undefined} aria-live="polite">
          <p class="lead">
            <Words sentence={found.words} />
          </p>
          {found.supposed !== null && (
            <Compared view={view} measured={measured} supposed={found.supposed} verdict={found.verdict} />
          )}
        </div>
      )}
    </section>
  )
}

/** What is to be supposed. */
function Supposing({ view }: Pick<DetailProps, 'view'>) {
  const { query, change } = useQuery()
  const { characteristic } = view
  const state = whatIfState(query)
  const today = bindingLimits(characteristic, characteristic.kind)
  const isSupposed = state.centred || state.alike || state.lower !== null || state.upper !== null
  return (
    <div class="controls supposing">
      <label class="tick">
        <input
          type="checkbox"
          checked={state.centred}
          onChange={() => change({ centred: state.centred ? null : 'yes' })}
        />
        <span>values in the middle of the tolerance</span>
      </label>
      <label class="tick">
        <input
          type="checkbox"
          checked={state.alike}
          onChange={() => change({ alike: state.alike ? null : 'yes' })}
        />
        <span>builds alike</span>
      </label>
      <LimitField
        label={`lower limit, ${unitText(characteristic.unit)}`}
        today={today.lower}
        written={state.lower}
        onWrite={(lower) => change({ lower })}
      />
      <LimitField
        label={`upper limit, ${unitText(characteristic.unit)}`}
        today={today.upper}
        written={state.upper}
        onWrite={(upper) => change({ upper })}
      />
      {isSupposed && (
        <button
          type="button"
          class="plain"
          onClick={() => change({ centred: null, alike: null, lower: null, upper: null })}
        >
          As it is
        </button>
      )}
    </div>
  )
}

interface LimitFieldProps {
  readonly label: string
  readonly today: number | null
  /** Null for the limit there is. */
  readonly written: string | null
  /** Null for the limit there is. */
  onWrite(text: string | null): void
}

function LimitField({ label, today, written, onWrite }: LimitFieldProps) {
  const shown = written ?? (today === null ? '' : String(today))
  const [text, setText] = useState(shown)
  useEffect(() => setText(shown), [shown])
  const fault = useId()
  const isFault = limitFromText(text) === undefined
  return (
    <>
      <label class="field beside">
        {label}
        <input
          type="text"
          inputMode="decimal"
          size={9}
          value={text}
          aria-invalid={isFault}
          aria-describedby={isFault ? fault : undefined}
          onInput={(event) => setText(event.currentTarget.value)}
          onChange={(event) => {
            const next = event.currentTarget.value.trim()
            onWrite(limitFromText(next) === today ? null : next)
          }}
        />
      </label>
      {isFault && (
        <span id={fault} class="said-mark" role="alert">
          {LIMIT_EXPECTED}
        </span>
      )}
    </>
  )
}

interface ComparedProps extends DetailProps {
  readonly supposed: SupposedFigures
  readonly verdict: WhatIfView['verdict']
}

const MARK_WIDTH = 220
const MARK_HEIGHT = 34

function Compared({ view, measured, supposed, verdict }: ComparedProps) {
  const { summary } = measured
  const { characteristic, ppk, requirement } = summary
  const compared = comparedFigures(summary, bindingLimits(characteristic, characteristic.kind), supposed)
  const title = `${view.partNumber.number} rev ${view.partNumber.revision}, ${characteristicTitle(characteristic)}`
  const marks = [
    { name: 'Ppk as it is', estimate: ppk, verdict: requirement.index === 'Ppk' ? summary.verdict : null },
    { name: 'Ppk as supposed', estimate: supposed.nearer, verdict },
  ]
  const required = requirement.value
  const scale = indexScale(
    marks.flatMap(({ estimate }) => (estimate === null ? [] : [estimate])),
    required,
    MARK_WIDTH,
  )
  return (
    <>
      <p class="quiet">
        A supposition, worked out from the figures of today: nobody has measured it. Its intervals say how
        surely today’s place and scatter are known, not whether the change can be brought about.
      </p>
      <table class="marked">
        <thead>
          <tr>
            <td />
            <th scope="col">
              <span class="unseen">against what is required</span>
              <IndexAxis scale={scale} required={required} palette={SCREEN} />
            </th>
          </tr>
        </thead>
        <tbody>
          {marks.map((mark) => (
            <tr key={mark.name}>
              <th scope="row">{mark.name}</th>
              <td>
                <IndexMark
                  estimate={mark.estimate}
                  verdict={mark.verdict}
                  required={required}
                  scale={scale}
                  height={MARK_HEIGHT}
                  palette={SCREEN}
                />
                <span class="unseen">
                  {mark.estimate === null ? 'none' : formatNumber(mark.estimate.value, 2)}
                </span>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard */}
      <section class="scroll" aria-label="As it is and as supposed" tabIndex={0}>
        <table class="list">
          <thead>
            <tr>
              <th scope="col">figure</th>
              <th scope="col" class="number">
                as it is
              </th>
              <th scope="col" class="number">
                as supposed
              </th>
              <th scope="col">unit</th>
            </tr>
          </thead>
          <tbody>
            {compared.map((figure) => (
              <tr key={figure.name}>
                <th scope="row">{figure.name}</th>
                <td class="number">{comparedText(figure, figure.today)}</td>
                <td class="number">{comparedText(figure, figure.supposed)}</td>
                <td>{figure.unit}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      <SaveTable title={`${title}, under a supposition`} table={() => comparedTable(title, compared)} />
    </>
  )
}

function comparedText({ decimals }: ComparedFigure, of: ComparedFigure['today']): string {
  if (of === null || typeof of === 'number') return figureText(of, decimals)
  return `${figureText(of.value, decimals)} (${spanText(of.lower, of.upper, decimals)})`
}
