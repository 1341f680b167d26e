import { type SummaryFigure, summaryFigures, summaryTable } from '../../words/capability-detail-tables.ts'
import { figureText, spanText } from '../../words/figure-text.ts'
import { SaveTable } from '../save-table.tsx'
import type { DetailProps } from './capability-values.tsx'

/** Every figure of the characteristic, with its interval. */
export function CapabilityFigures({ view, measured }: DetailProps) {
  const table = () => summaryTable(measured)
  const sure = `${Number((100 * measured.summary.requirement.confidence).toFixed(1))} %`
  return (
    <section aria-labelledby="figures-title">
      <h2 id="figures-title">The figures</h2>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard */}
      <section class="scroll" aria-label={table().caption} tabIndex={0}>
        <table class="list">
          <thead>
            <tr>
              <th scope="col">figure</th>
              <th scope="col" class="number">
                value
              </th>
              <th scope="col" class="number">{`${sure} interval`}</th>
              <th scope="col">unit</th>
              <th scope="col">what it is</th>
            </tr>
          </thead>
          <tbody>
            {summaryFigures(measured).map((figure) => (
              <tr key={figure.name}>
                <th scope="row">{figure.name}</th>
                <td class="number strong">{figureText(figure.value, figure.decimals)}</td>
                <td class="number">{intervalText(figure)}</td>
                <td>{figure.unit}</td>
                <td>{figure.what}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      <SaveTable
        title={`${view.partNumber.number} rev ${view.partNumber.revision}, ${table().caption}`}
        table={table}
      />
    </section>
  )
}

function intervalText(figure: SummaryFigure): string {
  if (figure.lower === null) return ''
  return spanText(figure.lower, figure.upper as number, figure.decimals)
}
