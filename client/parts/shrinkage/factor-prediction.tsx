import { useState } from 'preact/hooks'
import type { ShrinkageView } from '../../../server/contract/shrinkage.ts'
import type { ScaleFactors } from '../../../src/domain/build.ts'
import type { AxisAdvice } from '../../../src/shrinkage/advice.ts'
import type { PredictedSize, Prediction } from '../../../src/shrinkage/predict.ts'
import { characteristicTitle, formatNumber, meanDecimals, valueDecimals } from '../../../src/words/format.ts'
import { useQuery } from '../../data/query.ts'
import { factorIn } from '../../data/shrinkage-state.ts'
import { changeWord, factorOf } from '../../words/factor-tables.ts'
import { unitText } from '../../words/quantities.ts'

/** Present factors, those needed and those advised, with room to try others. */
export function FactorsForm({ view, set }: { view: ShrinkageView; set: ScaleFactors }) {
  const { change, query } = useQuery()
  const own = query.x !== undefined || query.y !== undefined || query.z !== undefined
  const [typed, setTyped] = useState<Readonly<Record<string, string>>>({})
  const text = (axis: AxisAdvice['axis']) => typed[axis] ?? factorText(factorOf(set, axis), '')
  const bad = view.advice.axes.filter(({ axis }) => factorIn(text(axis)) === null)
  const needed = neededFactors(view)
  const submit = (event: Event) => {
    event.preventDefault()
    if (bad.length > 0) return
    const of = (axis: AxisAdvice['axis']) => String(factorIn(text(axis)))
    change({ x: of('X'), y: of('Y'), z: of('Z') })
    setTyped({})
  }
  const back = () => {
    setTyped({})
    change({ x: null, y: null, z: null })
  }
  return (
    <form class="factors" onSubmit={submit}>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard */}
      <section class="scroll" aria-label="Scale factors" tabIndex={0}>
        <table class="list">
          <thead>
            <tr>
              <th scope="col">axis</th>
              <th scope="col" class="number">
                present
              </th>
              <th scope="col" class="number">
                needed
              </th>
              <th scope="col" class="number">
                advised
              </th>
              <th scope="col">to try</th>
            </tr>
          </thead>
          <tbody>
            {view.advice.axes.map(({ axis, needed }) => (
              <tr key={axis}>
                <th scope="row">{axis}</th>
                <td class="number">{factorText(factorOf(view.factors.present, axis), 'not known')}</td>
                <td class="number">
                  {needed === null
                    ? '–'
                    : `${formatNumber(needed.value, 4)} ± ${formatNumber(needed.halfWidth, 4)}`}
                </td>
                <td class="number">{advisedText(view, axis)}</td>
                <td>
                  <input
                    type="text"
                    inputMode="decimal"
                    class="factor"
                    aria-label={`Scale factor ${axis} to try`}
                    aria-invalid={factorIn(text(axis)) === null}
                    value={text(axis)}
                    onInput={(event) => setTyped({ ...typed, [axis]: event.currentTarget.value })}
                  />
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      <p class="actions">
        <button type="submit">Predict with these</button>
        {needed !== null && (
          <button type="button" class="plain" onClick={() => change(needed)}>
            Try the factors needed
          </button>
        )}
        {own && (
          <button type="button" class="plain" onClick={back}>
            Back to what is advised
          </button>
        )}
        {bad.length > 0 && (
          <span role="alert">
            {`Give factor ${bad.map(({ axis }) => axis).join(', ')} as a number such as 1.1850.`}
          </span>
        )}
      </p>
    </form>
  )
}

/** The factors needed, whether or not a change is due, to the four decimals that print jobs take. */
function neededFactors({ advice, factors }: ShrinkageView): Readonly<Record<string, string>> | null {
  const asked: Record<string, string> = {}
  for (const { axis, needed } of advice.axes) {
    const factor = needed?.value ?? factorOf(factors.present, axis)
    if (factor === null) return null
    asked[axis.toLowerCase()] = factor.toFixed(4)
  }
  return asked
}

/** Factors to the four decimals of print jobs, more where they are given. */
export function factorText(factor: number | null, otherwise: string): string {
  if (factor === null) return otherwise
  const text = String(factor)
  return (text.split('.')[1] ?? '').length > 4 ? text : factor.toFixed(4)
}

function advisedText(view: ShrinkageView, axis: AxisAdvice['axis']): string {
  const own = view.advice.axes.find((each) => each.axis === axis)
  if (own?.action === 'correct') return factorText(factorOf(view.factors.advised, axis), '–')
  if (own?.reason === 'unexplained-signal') return 'explain'
  return own?.action === 'watch' ? 'watch' : 'leave'
}

/** What to expect of every characteristic, under the present factors and under others. */
export function PredictionTable({
  predictions,
  changed,
}: {
  predictions: readonly Prediction[]
  /** Whether other factors than the present ones are asked about. */
  changed: boolean
}) {
  if (predictions.length === 0)
    return <p>Nothing can be predicted yet: a factor is not known, or too little is measured.</p>
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard
    <section class="scroll" aria-label="What to expect" tabIndex={0}>
      <table class="list predictions">
        <thead>
          <tr>
            <td colSpan={3} />
            <th scope="colgroup" colSpan={3}>
              present factors
            </th>
            {changed && (
              <>
                <th scope="colgroup" colSpan={3}>
                  new factors
                </th>
                <td />
              </>
            )}
          </tr>
          <tr>
            <th scope="col">characteristic</th>
            <th scope="col">unit</th>
            <th scope="col" class="number">
              nominal
            </th>
            <SizeHeadings />
            {changed && (
              <>
                <SizeHeadings />
                <th scope="col">then</th>
              </>
            )}
          </tr>
        </thead>
        <tbody>
          {predictions.map((prediction) => (
            <tr key={prediction.characteristic.id}>
              <th scope="row">{characteristicTitle(prediction.characteristic)}</th>
              <td>{unitText(prediction.characteristic.unit)}</td>
              <td class="number">
                {formatNumber(
                  prediction.characteristic.nominal ?? 0,
                  valueDecimals(prediction.characteristic),
                )}
              </td>
              <SizeCells prediction={prediction} size={prediction.present} />
              {changed && (
                <>
                  <SizeCells prediction={prediction} size={prediction.changed} />
                  <td class={prediction.worse ? 'said-mark' : undefined}>{changeWord(prediction)}</td>
                </>
              )}
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  )
}

function SizeHeadings() {
  return (
    <>
      <th scope="col" class="number">
        mean ±
      </th>
      <th scope="col" class="number">
        Ppk (from to)
      </th>
      <th scope="col" class="number">
        outside, %
      </th>
    </>
  )
}

function SizeCells({ prediction, size }: { prediction: Prediction; size: PredictedSize }) {
  const decimals = meanDecimals(prediction.characteristic)
  const { mean, ppk, outside } = size
  return (
    <>
      <td class="number">
        {`${formatNumber(mean.value, decimals)} ± ${formatNumber(mean.upper - mean.value, decimals)}`}
      </td>
      <td class="number">
        {ppk === null
          ? '–'
          : `${formatNumber(ppk.value, 2)} (${formatNumber(ppk.lower, 2)} to ${formatNumber(ppk.upper, 2)})`}
      </td>
      <td class="number">{outside === null ? '–' : outsideText(outside)}</td>
    </>
  )
}

function outsideText(outside: number): string {
  const percent = 100 * outside
  return percent > 0 && percent < 0.0001 ? '< 0.0001' : formatNumber(percent, percent < 0.1 ? 4 : 2)
}
