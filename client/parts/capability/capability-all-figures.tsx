import type { CapabilityView } from '../../../server/contract/views.ts'
import type { IndexEstimate } from '../../../src/capability/index-estimate.ts'
import type { CapabilitySummary } from '../../../src/capability/summary.ts'
import { formatCount, formatNumber, meanDecimals } from '../../../src/words/format.ts'
import { unitText } from '../../../src/words/unit.ts'
import { capabilityTable } from '../../words/capability-table.ts'
import { figureText, spanText } from '../../words/figure-text.ts'
import { SaveTable } from '../save-table.tsx'
import { CapabilityLink } from './capability-link.tsx'

const HEADINGS = [
  'unit',
  'parts',
  'builds',
  'mean',
  'sigma within',
  'between',
  'overall',
  'Cp',
  'Cpk',
  'Pp',
  'Ppk',
  'outside, per million',
  'tolerance used, %',
]

/** Every characteristic with all its figures, each index with its interval below it; it scrolls inside itself. */
export function CapabilityAllFigures({ view }: { view: CapabilityView }) {
  const { number, revision } = view.partNumber
  const title = `All figures of ${number} rev ${revision}`
  return (
    <>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard */}
      <section class="scroll" aria-label={title} tabIndex={0}>
        <table class="list named">
          <thead>
            <tr>
              <th scope="col">characteristic</th>
              {HEADINGS.map((heading) => (
                <th key={heading} scope="col" class={heading === 'unit' ? undefined : 'number'}>
                  {heading}
                </th>
              ))}
              <th scope="col">distribution</th>
              <th scope="col">verdict</th>
            </tr>
          </thead>
          <tbody>
            {view.rows.map((row) => (
              <Row key={row.characteristic.id} view={view} row={row} />
            ))}
          </tbody>
        </table>
      </section>
      <SaveTable title={title} table={() => capabilityTable(view)} />
    </>
  )
}

function Row({ view, row }: { view: CapabilityView; row: CapabilitySummary }) {
  const { characteristic, cp, cpk, pp, ppk, outside, toleranceUsed, shape, verdict } = row
  const decimals = meanDecimals(characteristic)
  return (
    <tr>
      <th scope="row">
        <CapabilityLink of={view.partNumber} characteristic={characteristic} />
      </th>
      <td>{unitText(characteristic.unit)}</td>
      <td class="number">{formatCount(row.n)}</td>
      <td class="number">{formatCount(row.builds)}</td>
      <td class="number">{formatNumber(row.mean, decimals)}</td>
      {[row.sigmaWithin, row.sigmaBetween, row.sigmaOverall].map((sigma, i) => (
        <td key={HEADINGS[4 + i]} class="number">
          {figureText(sigma, decimals + 1)}
        </td>
      ))}
      {[cp, cpk, pp, ppk].map((index, i) => (
        <Estimated key={HEADINGS[7 + i]} of={index} scale={1} decimals={2} />
      ))}
      <Estimated of={outside.total} scale={1e6} decimals={1} />
      <Estimated of={toleranceUsed} scale={100} decimals={1} />
      <td>{shape?.fitted.family ?? '–'}</td>
      <td class={verdict === 'does not' ? 'said-mark' : undefined}>
        {verdict ?? 'cannot be judged'}
        {!row.stable && <p class="quiet">{`signal at ${row.movedAt}`}</p>}
      </td>
    </tr>
  )
}

/** A figure with its interval below it. */
function Estimated({
  of,
  scale,
  decimals,
}: {
  readonly of: Omit<IndexEstimate, 'confidence'> | null
  readonly scale: number
  readonly decimals: number
}) {
  if (of === null) return <td class="number">–</td>
  return (
    <td class="number">
      {figureText(scale * of.value, decimals)}
      <p class="quiet">{spanText(scale * of.lower, scale * of.upper, decimals)}</p>
    </td>
  )
}
