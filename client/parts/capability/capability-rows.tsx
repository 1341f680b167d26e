import type { CapabilityView } from '../../../server/contract/views.ts'
import type { IndexEstimate } from '../../../src/capability/index-estimate.ts'
import type { CapabilitySummary } from '../../../src/capability/summary.ts'
import { IndexAxis, IndexMark, type IndexScale, indexScale } from '../../../src/figures/index-mark.tsx'
import { SCREEN } from '../../../src/figures/palette.ts'
import { roundUp } from '../../../src/words/capability-words.ts'
import { formatCount, formatNumber } from '../../../src/words/format.ts'
import { requirementInList } from '../../words/characteristic-words.ts'
import { CapabilityLink } from './capability-link.tsx'

const MARK_WIDTH = 160
const MARK_HEIGHT = 52

/** The characteristics as rows: requirement, parts, Ppk with its interval against the required line, verdict. */
export function CapabilityRows({ view }: { view: CapabilityView }) {
  const { rows } = view
  const required = view.fallback.value
  const estimates = rows.flatMap((row) => (row.judged === null ? [] : [row.judged]))
  const scale = indexScale(estimates, required, MARK_WIDTH)
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard
    <section class="scroll" aria-label="Capability by characteristic" tabIndex={0}>
      <table class="capability">
        <thead>
          <tr>
            <th scope="col">characteristic</th>
            <th scope="col" class="wide">
              requirement
            </th>
            <th scope="col" class="number wide">
              parts, builds
            </th>
            <th scope="col" class="marks">
              <span class="unseen">index against what is required</span>
              <IndexAxis scale={scale} required={required} palette={SCREEN} />
            </th>
            <th scope="col">verdict</th>
            <th scope="col" class="number">
              index
            </th>
            <th scope="col" class="number">
              interval
            </th>
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <Row key={row.characteristic.id} view={view} row={row} scale={scale} />
          ))}
        </tbody>
      </table>
    </section>
  )
}

function Row({ view, row, scale }: { view: CapabilityView; row: CapabilitySummary; scale: IndexScale }) {
  const { characteristic, judged, verdict, requirement, shape } = row
  return (
    <tr>
      <th scope="row">
        <CapabilityLink of={view.partNumber} characteristic={characteristic} />
      </th>
      <td class="wide">
        {requirementInList(characteristic)}
        {shape !== null && shape.byQuantiles !== null && <p class="quiet">{shape.fitted.family}</p>}
      </td>
      <td class="number wide">
        {formatCount(row.n)}
        <span class="quiet">{`, ${formatCount(row.builds)}`}</span>
      </td>
      <td class="marks">
        <IndexMark
          estimate={judged}
          verdict={verdict}
          required={requirement.value}
          scale={scale}
          height={MARK_HEIGHT}
          palette={SCREEN}
        />
      </td>
      <td class={verdict === 'does not' ? 'verdict said-mark' : 'verdict'}>
        {verdict ?? 'cannot be judged'}
        {!row.stable && <p class="quiet">{`signal at ${row.movedAt}`}</p>}
        {requirement.class !== null && (
          <p class="quiet">{`${requirement.class}: ${requirement.index} ${formatNumber(requirement.value, 2)}`}</p>
        )}
        {row.toSettle !== null && (
          <p class="quiet">{`${formatCount(roundUp(row.toSettle.parts - row.n))} more parts, ${formatCount(roundUp(row.toSettle.builds - row.builds))} builds`}</p>
        )}
      </td>
      <td class="number strong">{judged === null ? '–' : formatNumber(judged.value, 2)}</td>
      <td class="number">{judged === null ? '–' : intervalText(judged)}</td>
    </tr>
  )
}

function intervalText(index: IndexEstimate): string {
  return `${formatNumber(index.lower, 2)} to ${formatNumber(index.upper, 2)}`
}
