import { useState } from 'preact/hooks'
import type { PartValue, PartView, ValueConformity } from '../../../server/contract/parts.ts'
import { ownTolerance } from '../../../src/domain/own-limits.ts'
import { SCREEN } from '../../../src/figures/palette.ts'
import { requirementText } from '../../../src/figures/requirement.ts'
import { ValueInLimits } from '../../../src/figures/value-in-limits.tsx'
import { formatNumber, formatSigned, valueDecimals } from '../../../src/words/format.ts'
import { driftPage, filePage, sourceAddress } from '../../data/addresses.ts'
import { limitsOf, measuredOf, notCountedWords, unitOf } from '../../words/part-table.ts'
import { timeText, unitText } from '../../words/quantities.ts'
import { CharacteristicLink } from '../characteristic-link.tsx'
import { SourceRowsView } from '../source-rows.tsx'

const KEY =
  'The dot is the value, with its uncertainty where that is wide enough to be seen; the red lines are the limits; the grey line reaches two standard deviations to both sides of the mean of its build and furnace load.'

const MARK = { width: 150, height: 26 }

/** The values of a part, each between its limits, with what it proves and the way to its chart and its row. */
export function PartValues({ view }: { view: PartView }) {
  const { values } = view
  if (values.length === 0) return <p>Nothing that was measured on it is on record.</p>
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a region that scrolls must be reached by keyboard
    <section class="scroll" aria-label={`Values of part ${view.serial}`} tabIndex={0}>
      <table class="list part-values">
        <thead>
          <tr>
            <th scope="col">characteristic</th>
            <th scope="col" class="number">
              value
            </th>
            <th scope="col">it proves</th>
            <th scope="col">between its limits</th>
            <th scope="col">required</th>
            <th scope="col">beside its build</th>
            <th scope="col">stage</th>
            <th scope="col">measured</th>
            <th scope="col">file and line</th>
          </tr>
        </thead>
        <tbody>
          {values.map((value) => (
            <Row
              key={`${value.characteristic.id} ${value.stage} ${value.replicate}`}
              view={view}
              value={value}
            />
          ))}
        </tbody>
      </table>
      <p class="quiet">{KEY}</p>
    </section>
  )
}

function Row({ view, value: each }: { view: PartView; value: PartValue }) {
  const { characteristic, stage, replicate, value, own, conformity, among } = each
  const decimals = valueDecimals(characteristic)
  const unit = unitText(unitOf(each))
  // Drawn as it is judged, where the limits of all parts are the same.
  const tolerance = own === undefined ? 1 : (ownTolerance(own) ?? 1)
  const expanded = conformity === null ? null : conformity.expanded
  const notCounted = notCountedWords(each)
  const by = [each.gauge, each.inspector].filter((part) => part !== null)
  const [isTraced, setIsTraced] = useState(false)
  const query = new URLSearchParams({
    ...(stage === 'sintered' ? {} : { stage }),
    build: view.build.name,
  })
  const row = (
    <tr class={notCounted === null ? undefined : 'left-out'}>
      <td>
        <CharacteristicLink
          characteristic={characteristic}
          href={`${driftPage(view.partNumber, characteristic.designator)}?${query}`}
        />
      </td>
      <td class="number">
        {formatNumber(measuredOf(each), decimals)}
        {expanded !== null && <span class="quiet">{` ± ${formatNumber(expanded, decimals)}`}</span>}
      </td>
      <td class={conformity?.decision === 'not conforming' ? 'said-mark' : undefined}>
        {conformity !== null
          ? provesWords(conformity)
          : notCounted === null
            ? 'nothing, no limit binds'
            : 'not judged'}
        {notCounted !== null && <p class="quiet">{notCounted}</p>}
      </td>
      <td>
        {conformity === null ? (
          '–'
        ) : (
          <ValueInLimits
            value={value}
            limits={characteristic}
            expanded={expanded === null ? null : expanded / tolerance}
            among={among}
            outside={conformity.decision === 'not conforming'}
            {...MARK}
            palette={SCREEN}
          />
        )}
      </td>
      <td>
        {`${requirementText(own === undefined ? characteristic : { ...characteristic, nominal: null, ...limitsOf(each) })} ${unit}`}
        {own !== undefined && <p class="quiet">of its own</p>}
      </td>
      <td>{besideWords(each, decimals)}</td>
      <td>{`${stage}${replicate > 1 ? `, reading ${replicate}` : ''}`}</td>
      <td>
        {each.measuredAt === null ? '–' : timeText(each.measuredAt)}
        {by.length > 0 && <p class="quiet">{by.join(', ')}</p>}
      </td>
      <td>
        <a href={filePage(each.importId, each.line)}>
          {each.fileName}, line {each.line}
        </a>{' '}
        <button
          type="button"
          class="plain"
          aria-label={`${isTraced ? 'Hide' : 'Show'} the cell, ${characteristic.designator}, ${stage}, reading ${replicate}`}
          aria-expanded={isTraced}
          onClick={() => setIsTraced(!isTraced)}
        >
          {isTraced ? 'Hide the cell' : 'Show the cell'}
        </button>
      </td>
    </tr>
  )
  if (!isTraced) return row
  return (
    <>
      {row}
      <tr class="form">
        <td colSpan={9}>
          <SourceRowsView
            address={sourceAddress(view.partNumber, characteristic.designator, view.build.name, stage, {
              serial: view.serial,
              replicate,
            })}
          />
        </td>
      </tr>
    </>
  )
}

function provesWords({ decision, probability }: ValueConformity): string {
  if (decision === 'inside the uncertainty') {
    return `neither: conforms with probability ${probability === null ? 'unknown' : formatNumber(probability, 2)}`
  }
  return decision
}

/** How the part differs from those that it was printed and sintered with. */
function besideWords({ value, among, characteristic }: PartValue, decimals: number): string {
  const { n, mean, deviation } = among
  if (n < 2) return 'the only value'
  const off = formatSigned(value - mean, decimals)
  const times =
    deviation === null || deviation === 0 ? '' : `, ${formatNumber(Math.abs(value - mean) / deviation, 1)} s`
  return `${off} ${unitText(characteristic.unit)} from the mean of ${n}${times}`
}
